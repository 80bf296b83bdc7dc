"""A list of entries: what each line would record, and keeping it, once however often the list is imported."""

import json
import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any
from uuid import UUID, uuid5

from walkabout.entries.facts import KindFacts, grafted
from walkabout.entries.fields import DayField, NumberField, SeveralField, TapField
from walkabout.entries.kind import Kind
from walkabout.entries.kinds import KINDS
from walkabout.errors import BadInput
from walkabout.imports.columns import ENTRY_FIELDS, Columns, match_columns, require
from walkabout.imports.plan import Plan, PlannedLine, check_skipped
from walkabout.imports.read import Line, Sheet
from walkabout.imports.values import DateOrder, date_order, number
from walkabout.records.entries import NewEntry, fingerprint, keep_entries, known_ids
from walkabout.records.plants import Plant, folded
from walkabout.records.tasks import DONE
from walkabout.records.yards import Yard
from walkabout.reference.works import works

MOST_LINES = 20_000
EARLIEST = DayField.EARLIEST
AMOUNTS = ("weight_kg", "weight_lb", "count")
SAYING = (*AMOUNTS, "taste", "ripe", "lost")  # what a harvest may say; one of them is enough

_NAMESPACE = UUID("0d1c8b52-5a0e-4f57-9d0a-3b1f6c2e7a44")
DEVICE = str(uuid5(_NAMESPACE, "import"))
_MOST_NAMED = 12
_COMMON = ("plant", "date", "kind")


@dataclass(frozen=True, slots=True)
class Known:
    """What the lines are read against.

    Attributes:
        yard: the yard, for its units.
        plants: all its plants.
        codes: tag code to plant id, hanging and retired.
        read_code: makes the canonical code of what was typed; raises BadInput if it can be none.
        author_id: in whose name the entries are kept.
    """

    yard: Yard
    plants: Sequence[Plant]
    codes: Mapping[str, str]
    read_code: Callable[[str], str]
    author_id: str


def plan_entries(
    sheet: Sheet,
    known: Known,
    today: date,
    *,
    said: Iterable[str] = (),
    skip: frozenset[int] = frozenset(),
    dates: str | None = None,
) -> Plan[NewEntry]:
    """What importing a list of entries would do.

    Args:
        sheet: the file.
        known: the yard that they belong to.
        today: the civil date in the yard.
        said: the grower's own word about columns, "Their column=field" each.
        skip: data lines to leave out.
        dates: "dmy" or "mdy" where the file itself does not tell.

    Raises:
        BadInput: the columns or the dates as a whole cannot be read.
    """
    columns = match_columns(sheet.header, ENTRY_FIELDS, said)
    require(columns, "plant", 'Add --map "Their column=plant".')
    require(columns, "date", 'Add --map "Their column=date".')
    if "kind" not in columns.places and not any(amount in columns.places for amount in AMOUNTS):
        raise BadInput(
            "There is no column kind and none for an amount, so it is not clear what the lines are. Add one."
        )
    check_skipped(skip, (line.number for line in sheet.lines))
    texts = [columns.cell(line.cells, "date") for line in sheet.lines]
    reader = _Reader(
        columns, known, today, sheet.delimiter != ",", date_order(texts, columns.name("date"), dates)
    )
    planned: list[PlannedLine] = []
    read: list[tuple[int, _Said]] = []
    for line in sheet.lines:
        if line.number in skip:
            planned.append(PlannedLine(line.number, "left out, as you said"))
            continue
        try:
            said_there = reader.entry(line)
        except BadInput as error:
            planned.append(PlannedLine(line.number, error.message, fault=True))
            continue
        if said_there is None:
            planned.append(PlannedLine(line.number, "left out: no amount stands there"))
        else:
            read.append((line.number, said_there))
    entries = _numbered([said_there for _, said_there in read], known.author_id)
    here = known_ids([entry.id for entry in entries])
    for (line_number, said_there), entry in zip(read, entries, strict=True):
        words = f"already here: {said_there.words}" if entry.id in here else f"add {said_there.words}"
        planned.append(PlannedLine(line_number, words))
    planned.sort(key=lambda line: line.number)
    return Plan(columns, tuple(planned), tuple(entry for entry in entries if entry.id not in here))


def keep_planned(plan: Plan[NewEntry]) -> int:
    """Keep the entries of a sound plan, all or none; says how many were stored.

    Raises:
        BadInput: the plan has faults.
        DataFolderError: nothing was kept.
    """
    plan.must_be_sound()
    return sum(kept.word == "stored" for kept in keep_entries(plan.ready))


@dataclass(frozen=True, slots=True)
class _Said:
    """What one line says, checked."""

    plant: Plant
    kind: Kind
    seen_on: date
    details: dict[str, Any]
    words: str


@dataclass(frozen=True, slots=True)
class _Reader:
    """Turns lines into what they say. What the lines of one plant share is worked out once."""

    columns: Columns
    known: Known
    today: date
    decimal_comma: bool
    order: DateOrder
    _by_name: dict[str, list[Plant]] = field(default_factory=dict)
    _by_id: dict[str, Plant] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for plant in self.known.plants:
            self._by_name.setdefault(folded(plant.name), []).append(plant)
            self._by_id[plant.id] = plant

    def entry(self, line: Line) -> _Said | None:
        """What the line says; None when it is a harvest without an amount."""
        if line.fault:
            raise BadInput(line.fault)
        plant = self._plant(self.columns.cell(line.cells, "plant"))
        seen_on = self._day(self.columns.cell(line.cells, "date"))
        what = self.columns.cell(line.cells, "kind")
        work = _work_named(what)
        kind = KINDS[DONE] if work else self._kind(what)
        written = {
            name: text
            for name in self.columns.places
            if name not in _COMMON and (text := self.columns.cell(line.cells, name))
        }
        if work:
            written["work"] = ", ".join(filter(None, (work, written.get("work"))))
        if kind.key == "harvest" and not written.keys() & set(SAYING):
            if written:
                raise BadInput(
                    f"a harvest without an amount says nothing; {next(iter(written))} would be lost"
                )
            return None
        facts = KindFacts(plant.crop, grafted(plant.raised), self.known.yard.units, self.today)
        details = kind.check(self._details(kind, written, facts), facts)
        words = f"{kind.headline(details, facts)}, {plant.name}, {seen_on.isoformat()}"
        return _Said(plant, kind, seen_on, details, " ".join(words.split()))

    def _plant(self, text: str) -> Plant:
        if not text:
            raise BadInput("it names no plant; write its name or tag code")
        named = self._by_name.get(folded(text), [])
        if len(named) == 1:
            return named[0]
        if named:
            raise BadInput(f'{len(named)} plants are called "{text}"; write the tag code instead')
        try:
            plant = self._by_id.get(self.known.codes.get(self.known.read_code(text), ""))
        except BadInput:
            plant = None
        if plant is None:
            raise BadInput(
                f'there is no plant "{text}" in this yard; check the name, or import the plants first'
            )
        return plant

    def _day(self, text: str) -> date:
        if not text:
            raise BadInput("it has no date; write it as 2024-03-14")
        day = self.order.read(text)
        if day > self.today:
            raise BadInput(f"{day.isoformat()} lies in the future; check the year")
        if day < EARLIEST:
            raise BadInput(f"{day.isoformat()} lies before {EARLIEST.year}; check the year")
        return day

    def _kind(self, text: str) -> Kind:
        word = text.casefold()
        if not word and any(amount in self.columns.places for amount in AMOUNTS):
            return KINDS["harvest"]
        for kind in KINDS.values():
            if kind.on_plants and word in (kind.key, str(kind.title).casefold()):
                return kind
        known = ", ".join(kind.key for kind in KINDS.values() if kind.on_plants)
        raise BadInput(f'"{text}" is no kind of entry; write one of {known}')

    def _details(self, kind: Kind, written: Mapping[str, str], facts: KindFacts) -> dict[str, Any]:
        """The cells as the kind's form takes them: numbers as numbers, answers by key or by their words."""
        form = kind.draw(facts)
        fields = {drawn.name: drawn for drawn in form}
        details: dict[str, Any] = {}
        for name, text in written.items():
            drawn = fields.get(name)
            if drawn is None:
                raise BadInput(
                    form.absent.get(
                        name, f"an entry of kind {kind.key} has no {name}; give that a line of its own"
                    )
                )
            if isinstance(drawn, NumberField):
                value = number(text, decimal_comma=self.decimal_comma)
                details[name] = int(value) if value == value.to_integral_value() else float(value)
            elif isinstance(drawn, DayField):
                details[name] = self.order.read(text).isoformat()
            elif isinstance(drawn, SeveralField):
                details[name] = [
                    _answer(drawn, part.strip()) for part in re.split("[,;]", text) if part.strip()
                ]
            else:
                details[name] = _answer(drawn, text) if isinstance(drawn, TapField) else text
        return details


def _work_named(text: str) -> str:
    """The work that the cell of a kind names, as a grower's list may say "pruned" there; "" when it names none."""
    word = folded(text)
    return next((key for key, work in works().items() if word in (folded(key), folded(work.words))), "")


def _answer(tap: TapField | SeveralField, text: str) -> str:
    """The stored answer for a cell, which may hold it or its words."""
    word = folded(text)
    for value, label, *_ in tap.choices:
        if word in (folded(value), folded(str(label))):
            return str(value)
    if tap.allows(text.casefold()):
        return text.casefold()
    known = [str(label) for value, label, *_ in tap.choices if value]
    more = " or another of its list" if len(known) > _MOST_NAMED else ""
    raise BadInput(f'{tap.name} "{text}" is not known; write one of: {", ".join(known[:_MOST_NAMED])}{more}')


def _numbered(said: Sequence[_Said], author_id: str) -> list[NewEntry]:
    """Entries whose ids follow from what they say.

    A line that says the same as an earlier one of the file is another entry: two equal pickings of a day.
    The same file gives the same ids again, so that importing it twice keeps everything once.
    """
    repeats: Counter[str] = Counter()
    entries = []
    for line in said:
        content = {
            "plant": line.plant.id,
            "kind": line.kind.key,
            "seen_on": line.seen_on.isoformat(),
            "details": line.details,
        }
        text = json.dumps(content, sort_keys=True, ensure_ascii=False)
        repeats[text] += 1
        entries.append(
            NewEntry(
                id=str(uuid5(_NAMESPACE, f"{repeats[text]} {text}")),
                plant_id=line.plant.id,
                kind=line.kind.key,
                subject=line.kind.subject(line.details),
                seen_on=line.seen_on,
                # When it was written down is not known; noon of that day puts it among what phones noted then.
                made_at=f"{line.seen_on.isoformat()}T12:00:00.000+00:00",
                clock_difference=None,
                details=line.details,
                replaces=None,
                withdraws=None,
                author_id=author_id,
                device=DEVICE,
                form=line.kind.form_version,
                fingerprint=fingerprint(content),
            )
        )
    return entries
