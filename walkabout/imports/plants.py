"""A list of plants: what each line would add, and keeping it."""

import unicodedata
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from walkabout.errors import BadInput
from walkabout.horticulture.units import litres, metres
from walkabout.imports.columns import PLANT_FIELDS, Columns, match_columns
from walkabout.imports.plan import Plan, PlannedLine, check_skipped
from walkabout.imports.read import Line, Sheet
from walkabout.imports.values import (
    DateOrder,
    date_order,
    number,
    planted,
    yes_or_no,
)
from walkabout.records.database import writing
from walkabout.records.plants import Plant, PlantFacts, add_plants, folded
from walkabout.records.spots import Spot
from walkabout.records.tags import issue_missing
from walkabout.reference.crops import crop_name, find_crop
from walkabout.reference.training import find_training, training_name

MOST_LINES = 5_000
LONGEST_TEXT = 120
FARTHEST_M = 10_000
LARGEST_POT_LITRES = 100_000
HIGHEST_M = 100

_STATES = {
    "wanted": "wanted", "wish": "wanted", "ordered": "ordered", "on order": "ordered",
    "": "growing", "growing": "growing", "alive": "growing", "living": "growing", "ok": "growing",
    "dead": "dead", "died": "dead",
    "gone": "gone", "removed": "gone", "pulled": "gone", "sold": "gone",
}  # fmt: skip
# The words of the plant form, and others that lists use for them.
_RAISED = {
    "": "", "not known": "", "unknown": "",
    "grafted": "grafted", "graft": "grafted", "budded": "budded", "bud": "budded",
    "cutting": "cutting", "cuttings": "cutting", "own roots": "cutting", "own root": "cutting",
    "layer": "layer", "layered": "layer", "layering": "layer", "air layer": "layer",
    "seed": "seed", "seedling": "seed",
    "division": "division", "sucker": "division", "offset": "division",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Known:
    """What the yard has already.

    Attributes:
        names: folded names of its plants.
        spots: its spots.
    """

    names: Collection[str]
    spots: Iterable[Spot] = ()


def plan_plants(
    sheet: Sheet,
    known: Known,
    today: date,
    *,
    said: Iterable[str] = (),
    skip: frozenset[int] = frozenset(),
    skip_known: bool = False,
    dates: str | None = None,
) -> Plan[PlantFacts]:
    """What importing a list of plants would do.

    Args:
        sheet: the file.
        known: what the yard has already.
        today: the civil date in the yard.
        said: the grower's own word about columns, "Their column=field" each.
        skip: data lines to leave out.
        skip_known: leave out plants whose name the yard has, instead of calling it a fault.
        dates: "dmy" or "mdy" where the file itself does not tell.

    Raises:
        BadInput: the columns or the dates as a whole cannot be read.
    """
    columns = match_columns(sheet.header, PLANT_FIELDS, said)
    _must_name_plants(columns)
    check_skipped(skip, (line.number for line in sheet.lines))
    column = columns.name("planted") if "planted" in columns.places else ""
    order = date_order(
        (columns.cell(line.cells, field) for field in ("planted", "ended") for line in sheet.lines),
        column,
        dates,
    )
    reader = _Reader(columns, sheet.delimiter != ",", order, today)
    names = _names(sheet.lines, skip, reader)

    planned: list[PlannedLine] = []
    ready: list[tuple[int, PlantFacts, str]] = []
    for line in sheet.lines:
        if line.number in skip:
            planned.append(PlannedLine(line.number, "left out, as you said"))
            continue
        try:
            facts, remark = reader.plant(line)
            name = folded(facts.name)
            if name in known.names and skip_known:
                planned.append(PlannedLine(line.number, f"left out: {facts.name} is in the yard already"))
                continue
            _must_be_new(name, facts.name, known, names)
        except BadInput as error:
            planned.append(PlannedLine(line.number, error.message, fault=True))
            continue
        ready.append((line.number, facts, remark))
    placed = _spots_of_their_own([facts for _, facts, _ in ready], known.spots)
    for (line_number, _, remark), facts in zip(ready, placed, strict=True):
        planned.append(PlannedLine(line_number, _words(facts) + remark))
    planned.sort(key=lambda line: line.number)
    return Plan(columns, tuple(planned), tuple(placed))


def keep_plants(plan: Plan[PlantFacts], make_code: Callable[[], str]) -> list[Plant]:
    """Add the plants of a sound plan, each that grows with a tag of its own, all or none.

    Args:
        plan: a plan without faults.
        make_code: makes a random tag code.

    Raises:
        BadInput: the plan has faults, or a name was taken meanwhile.
        DataFolderError: nothing was kept.
    """
    plan.must_be_sound()
    with writing():
        added = add_plants(plan.ready)
        issue_missing(make_code, [plant.id for plant in added])
    return added


def _must_name_plants(columns: Columns) -> None:
    places = columns.places
    if "crop" not in places and "name" not in places:
        seen = ", ".join(columns.header)
        raise BadInput(f'No column for name or crop was found among: {seen}. Add --map "Their column=name".')
    if "name" not in places and not {"row", "col"} <= places.keys():
        raise BadInput(
            "There is no column for the plant's name. Add a column name, or columns row and col from which to make one."
        )
    for own, other in (
        ("x_m", "x_ft"),
        ("y_m", "y_ft"),
        ("container_litres", "container_gallons"),
        ("wanted_height_m", "wanted_height_ft"),
    ):
        if own in places and other in places:
            raise BadInput(
                f'Columns for both {own} and {other} were found. Add --map "{columns.name(other)}=" to leave one out.'
            )


@dataclass(frozen=True, slots=True)
class _Reader:
    """Turns the cells of a line into what is said of a plant."""

    columns: Columns
    decimal_comma: bool
    order: DateOrder
    today: date

    def plant(self, line: Line) -> tuple[PlantFacts, str]:
        """The facts of a line, and a remark if its crop could be another."""
        if line.fault:
            raise BadInput(line.fault)
        crop, remark = self._crop(line)
        when, about = planted(self._cell(line, "planted"), self.order, self.today)
        litres = self._litres(line)
        state = self._one_of(line, "state", _STATES)
        training = self._text(line, "training")
        ended, ended_why = self._ended(line, state, when)
        return (
            PlantFacts(
                name=self.name(line),
                crop=crop,
                cultivar=self._text(line, "cultivar"),
                rootstock=self._text(line, "rootstock"),
                raised=self._one_of(line, "raised", _RAISED),
                planted=when,
                planted_about=about,
                spot=self._spot(line),
                x_m=self._metres(line, "x"),
                y_m=self._metres(line, "y"),
                container=yes_or_no(self._cell(line, "container")) or litres is not None,
                container_litres=litres,
                training=find_training(training) or training,
                wanted_height_m=self._wanted_height(line),
                source=self._text(line, "source"),
                state=state,
                ended=ended,
                ended_why=ended_why,
            ),
            remark,
        )

    def name(self, line: Line) -> str:
        """The name of a line's plant: as written, else made from crop, row and column."""
        written = self._text(line, "name")
        if written:
            return written
        row, col = self._text(line, "row"), self._text(line, "col")
        if not row or not col:
            raise BadInput("it has no name; write one, or give row and col")
        return f"{crop_name(self._crop(line)[0])} r{row} c{col}"

    def _cell(self, line: Line, field: str) -> str:
        return self.columns.cell(line.cells, field)

    def _text(self, line: Line, field: str) -> str:
        """A cell as one line of words."""
        text = " ".join(self._cell(line, field).split())
        if len(text) > LONGEST_TEXT:
            raise BadInput(
                f"{self.columns.name(field)} has {len(text):,} characters; at most {LONGEST_TEXT} fit"
            )
        if any(unicodedata.category(sign) == "Cc" for sign in text):
            raise BadInput(f"{self.columns.name(field)} holds a control character; type it again")
        return text

    def _crop(self, line: Line) -> tuple[str, str]:
        written = self._text(line, "crop")
        if not written:
            raise BadInput("it has no crop; write what fruit it is, for example Fig")
        found = find_crop(written)
        if found is None:
            return written, f" (the books do not know {written}; it is kept as you wrote it)"
        if found.others:
            others = " or ".join(other.name for other in found.others)
            return found.crop.key, f" ({written} was taken as {found.crop.name}; it could be {others})"
        return found.crop.key, ""

    def _spot(self, line: Line) -> str:
        written = self._text(line, "spot")
        row = self._text(line, "row")
        return written or (f"Row {row}" if row else "")

    def _metres(self, line: Line, axis: str) -> float | None:
        for field, in_metres in ((f"{axis}_m", float), (f"{axis}_ft", metres)):
            if text := self._cell(line, field):
                found = in_metres(float(number(text, decimal_comma=self.decimal_comma)))
                if abs(found) > FARTHEST_M:
                    raise BadInput(
                        f"{field} {text} is more than {FARTHEST_M // 1000} km away; check the unit"
                    )
                return found
        return None

    def _litres(self, line: Line) -> float | None:
        for field, in_litres in (("container_litres", float), ("container_gallons", litres)):
            if text := self._cell(line, field):
                found = in_litres(float(number(text, decimal_comma=self.decimal_comma)))
                if not 0 < found <= LARGEST_POT_LITRES:
                    raise BadInput(f"{field} {text} is no size of a container; check the unit")
                return found
        return None

    def _wanted_height(self, line: Line) -> float | None:
        for field, in_metres in (("wanted_height_m", float), ("wanted_height_ft", metres)):
            if text := self._cell(line, field):
                found = in_metres(float(number(text, decimal_comma=self.decimal_comma)))
                if not 0 < found <= HIGHEST_M:
                    raise BadInput(f"{field} {text} is no height of a plant; check the unit")
                return found
        return None

    def _ended(self, line: Line, state: str, began: str | None) -> tuple[str | None, str]:
        ended, _about = planted(self._cell(line, "ended"), self.order, self.today, "ended")
        why = self._text(line, "ended_why")
        if (ended or why) and state not in ("dead", "gone"):
            raise BadInput(f"it ended, and its state is {state}; write dead or gone, or leave the end out")
        if ended and began and ended < began[: len(ended)]:
            raise BadInput(f"it ended ({ended}) before it was planted ({began}); check both years")
        return ended, why

    def _one_of(self, line: Line, field: str, words: Mapping[str, str]) -> str:
        written = self._text(line, field).casefold()
        if written not in words:
            known = ", ".join(dict.fromkeys(filter(None, words.values())))
            raise BadInput(f'{field} "{written}" is not known; write one of {known}')
        return words[written]


def _names(lines: Iterable[Line], skip: frozenset[int], reader: _Reader) -> Mapping[str, int]:
    """How often each name stands in the lines that count."""
    found: Counter[str] = Counter()
    for line in lines:
        if line.number not in skip and not line.fault:
            try:
                found[folded(reader.name(line))] += 1
            except BadInput:
                continue  # the line itself says so when it is planned
    return found


def _must_be_new(name: str, written: str, known: Known, names: Mapping[str, int]) -> None:
    if name in known.names:
        raise BadInput(f"{written} is in the yard already; rename it, or add --skip-known")
    if names[name] > 1:
        raise BadInput(f"{written} stands {names[name]} times in the file; give each plant a name of its own")


def _spots_of_their_own(many: list[PlantFacts], yard_spots: Iterable[Spot]) -> list[PlantFacts]:
    """Spots such that every position is kept: a spot has one position, a bed of a list may have many.

    Plants that share a spot's name but not its position each get a spot named after both; a position
    without a spot gets one named after the plant.
    """
    positions: dict[str, set[tuple[float | None, float | None]]] = {}
    for spot in yard_spots:
        if (spot.x_m, spot.y_m) != (None, None):
            positions.setdefault(spot.name.casefold(), set()).add((spot.x_m, spot.y_m))
    for facts in many:
        if (facts.x_m, facts.y_m) != (None, None):
            positions.setdefault(facts.spot.casefold(), set()).add((facts.x_m, facts.y_m))
    placed = []
    for facts in many:
        if (facts.x_m, facts.y_m) == (None, None):
            placed.append(facts)
        elif not facts.spot:
            placed.append(replace(facts, spot=facts.name))
        elif len(positions[facts.spot.casefold()]) > 1:
            placed.append(replace(facts, spot=f"{facts.spot}, {facts.name}"))
        else:
            placed.append(facts)
    return placed


def _words(facts: PlantFacts) -> str:
    parts = [crop_name(facts.crop)]
    if facts.cultivar:
        parts.append(facts.cultivar)
    if facts.rootstock:
        parts.append(f"on {facts.rootstock}")
    if facts.planted:
        parts.append(f"planted {'about ' if facts.planted_about else ''}{facts.planted}")
    if facts.spot:
        parts.append(f"in {facts.spot}")
    if facts.x_m is not None or facts.y_m is not None:
        parts.append(f"at {_metres_words(facts.x_m)}, {_metres_words(facts.y_m)}")
    if facts.container:
        parts.append(
            f"in a container of {facts.container_litres:g} L" if facts.container_litres else "in a container"
        )
    parts += _words_in_full(facts)
    return f"add {facts.name}, {', '.join(parts)}"


def _words_in_full(facts: PlantFacts) -> list[str]:
    parts = []
    if facts.training:
        parts.append(training_name(facts.training))
    if facts.wanted_height_m:
        parts.append(f"kept at {facts.wanted_height_m:.3g} m")
    if facts.source:
        parts.append(f"from {facts.source}")
    if facts.state != "growing":
        parts.append(" ".join(filter(None, (facts.state, facts.ended, facts.ended_why))))
    return parts


def _metres_words(metres: float | None) -> str:
    return "not known" if metres is None else f"{metres:g} m"
