"""Entries: kept once, never changed, told as a story."""

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from operator import itemgetter
from typing import Any, NamedTuple

import peewee

from walkabout.records import models
from walkabout.records.database import database, writing
from walkabout.records.ledger import Ledger
from walkabout.records.standing import Link, standing_heads

WITHDRAWAL = "withdrawal"
# One encoder for all: json.dumps would make one for each text.
_json = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False).encode


# These two are not frozen as the others are: making a frozen one of so many fields takes eight times as long, and
# entries come by the thousand. Nobody changes one.
@dataclass(slots=True)
class NewEntry:
    """An entry as it is to be kept: checked, in SI units.

    Attributes:
        id: UUIDv7 made on the device.
        subject: what of the plant it is about within its kind (a problem, a cause, a track); "" when nothing.
        seen_on: the civil date that the person chose.
        made_at: ISO 8601 with offset, by the device's clock.
        clock_difference: seconds, server minus device, where the device knew it.
        details: the fields of its kind.
        replaces, withdraws: the earlier entry that this one corrects or takes back; not both.
        fingerprint: of what the device sent (see `fingerprint`).
    """

    id: str
    plant_id: str
    kind: str
    subject: str
    seen_on: date
    made_at: str
    clock_difference: float | None
    details: Mapping[str, Any]
    replaces: str | None
    withdraws: str | None
    author_id: str
    device: str
    form: int
    fingerprint: str


@dataclass(slots=True)
class Entry(NewEntry):
    """An entry as kept.

    Attributes:
        seq: its number in the order of keeping.
        corrected_at: milliseconds of `made_at`, by the server's clock.
        received_at: when it was kept.
    """

    seq: int
    corrected_at: int
    received_at: str


@dataclass(frozen=True, slots=True)
class Told:
    """A line of the story: an entry that stands, who made it, what it goes back to, how often corrected."""

    entry: Entry
    author_name: str
    root_id: str
    corrections: int


class Kept(NamedTuple):
    """What became of one entry: word is "stored", "here" (already) or "refused" (same id, other content)."""

    id: str
    word: str


class Place(NamedTuple):
    """A place in the story, newest first, from which to read on."""

    seen_on: str
    corrected_at: int
    entry_id: str


def canonical(sent: Any) -> bytes:
    """What a device sent as one text, key order aside.

    Raises:
        ValueError: it holds a number that is none.
        UnicodeEncodeError: it holds signs that are no text.
    """
    return _json(sent).encode()


def fingerprint_of(text: bytes) -> str:
    """What tells two entries of the same id apart: a digest of their canonical texts."""
    return hashlib.sha256(text).hexdigest()


def fingerprint(sent: Any) -> str:
    """The fingerprint of what a device sent."""
    return fingerprint_of(canonical(sent))


def corrected_at(made_at: str, clock_difference: float | None) -> int:
    """Milliseconds since 1970 UTC at which an entry was made, by the server's clock."""
    return round((datetime.fromisoformat(made_at).timestamp() + (clock_difference or 0)) * 1000)


def keep_entries(entries: Sequence[NewEntry]) -> list[Kept]:
    """Keep entries in one transaction; on return they survive a power cut.

    An id that is known is kept once: with the same content it is "here", with other content "refused".

    Returns:
        One answer for each entry given, in the same order.
    """
    if not entries:
        return []
    answers = []
    with writing() as ledger:
        connection: Any = database.connection()
        listed = json.dumps([entry.id for entry in entries])
        known = dict(connection.execute(_FINGERPRINTS, (listed,)).fetchall())
        fresh: list[NewEntry] = []
        for entry in entries:
            before = known.get(entry.id)
            if before is None:
                known[entry.id] = entry.fingerprint
                fresh.append(entry)
            answers.append(Kept(entry.id, _word(before, entry.fingerprint)))
        _write(fresh, ledger)
    return answers


def entry(entry_id: str) -> Entry | None:
    """The entry of that id, standing or not."""
    row = _select().where(models.Entry.id == entry_id).tuples().first()
    return _entry(row) if row else None


def known_ids(entry_ids: Sequence[str]) -> set[str]:
    """Which of the ids have been kept."""
    connection: Any = database.connection()
    rows = connection.execute(
        "SELECT id FROM entry WHERE id IN (SELECT value FROM json_each (?))", (json.dumps(list(entry_ids)),)
    )
    return {entry_id for (entry_id,) in rows}


def story(plant_id: str, limit: int, before: Place | None = None) -> list[Told]:
    """What stands of a plant, latest seen first.

    Args:
        plant_id: the plant.
        limit: how many lines at most.
        before: go on after this place (see `place_of`).
    """
    standing = models.Standing
    query = (
        _select()
        .select_extend(models.Person.name, standing.root_id, standing.corrections)
        .join(standing, on=(standing.entry_id == models.Entry.id))
        .join(models.Person, on=(models.Person.id == models.Entry.author_id))
        .where(standing.plant_id == plant_id)
        .order_by(standing.seen_on.desc(), standing.corrected_at.desc(), standing.entry_id.desc())
        .limit(limit)
    )
    if before is not None:
        here = peewee.Tuple(standing.seen_on, standing.corrected_at, standing.entry_id)
        query = query.where(here < peewee.Tuple(*before))
    found = []
    for *row, author_name, root_id, corrections in query.tuples():
        line = _entry(row)
        found.append(Told(line, author_name, root_id or line.id, corrections))
    return found


def place_of(told: Told) -> Place:
    """Where a line stands in the story, for reading on after it."""
    return Place(told.entry.seen_on.isoformat(), told.entry.corrected_at, told.entry.id)


def latest(plant_id: str, kind: str) -> Entry | None:
    """The standing entry of a kind that was seen last."""
    standing = models.Standing
    row = (
        _select()
        .join(standing, on=(standing.entry_id == models.Entry.id))
        .where((standing.plant_id == plant_id) & (standing.kind == kind))
        .order_by(standing.seen_on.desc(), standing.corrected_at.desc(), standing.entry_id.desc())
        .tuples()
        .first()
    )
    return _entry(row) if row else None


def latest_by_subject(plant_id: str, kinds: Sequence[str], since: date) -> list[Entry]:
    """For each kind and subject the standing entry that was seen last, if on or after `since`; latest first."""
    standing = models.Standing
    latest_first = [standing.seen_on.desc(), standing.corrected_at.desc(), standing.entry_id.desc()]
    place = peewee.fn.ROW_NUMBER().over(partition_by=[standing.kind, standing.subject], order_by=latest_first)
    ranked = standing.select(standing.entry_id, place.alias("place")).where(
        (standing.plant_id == plant_id)
        & standing.kind.in_(list(kinds))
        & (standing.seen_on >= since.isoformat())
    )
    query = (
        _select()
        .join(ranked, on=(ranked.c.entry_id == models.Entry.id))
        .where(ranked.c.place == 1)
        .order_by(models.Entry.seen_on.desc(), models.Entry.corrected_at.desc(), models.Entry.id.desc())
    )
    return [_entry(row) for row in query.tuples()]


def tied_entries(entry_id: str) -> list[Told]:
    """Everything tied to an entry by replacing and withdrawing, itself included, in the order it was made.

    `root_id` and `corrections` of each line are those of what stands of the group, "" and 0 if nothing does.
    """
    found = entry(entry_id)
    if found is None:
        return []
    links = _tied_links([entry_id], found.plant_id)
    heads = {head.root_id: head for head in standing_heads(links)}
    head = next(iter(heads.values()), None)
    query = (
        _select()
        .select_extend(models.Person.name)
        .join(models.Person, on=(models.Person.id == models.Entry.author_id))
        .where(models.Entry.id.in_([link.id for link in links]))
        .order_by(models.Entry.corrected_at, models.Entry.id)
    )
    root_id, corrections = (head.root_id, head.corrections) if head else ("", 0)
    return [Told(_entry(row[:-1]), row[-1], root_id, corrections) for row in query.tuples()]


def standing_entry(entry_id: str) -> Entry | None:
    """What stands of the group of entries that the named one is tied to; None if nothing does."""
    found = entry(entry_id)
    if found is None:
        return None
    heads = standing_heads(_tied_links([entry_id], found.plant_id))
    return entry(heads[0].entry_id) if heads else None


def count_entries() -> int:
    """How many entries have been kept, standing or not."""
    return int(models.Entry.select().count())


def rebuild_standing() -> None:
    """Work out anew, from the entries alone, which stand."""
    with writing():
        connection: Any = database.connection()
        connection.execute("DELETE FROM standing")
        for _, links in _links_by_plant():
            connection.executemany(_INSERT_HEADS, standing_heads(links))


def standing_faults() -> list[str]:
    """Where the record of what stands does not agree with the entries; empty when all is well."""
    recorded: dict[str, set[tuple[str, str, int]]] = {}
    standing = models.Standing
    rows = standing.select(
        standing.plant_id, standing.entry_id, standing.root_id, standing.corrections
    ).tuples()
    for plant_id, entry_id, root_id, corrections in rows:
        recorded.setdefault(plant_id, set()).add((entry_id, root_id or entry_id, corrections))
    connection: Any = database.connection()
    stale = {plant_id for (plant_id,) in connection.execute(_STALE_HEADS)}
    faults = []
    for plant_id, links in _links_by_plant():
        heads = {tuple(head) for head in standing_heads(links)}
        if recorded.pop(plant_id, set()) != heads or plant_id in stale:
            faults.append(f"plant {plant_id}: what stands does not agree with its entries")
    return faults + [f"plant {plant_id}: something stands that was never entered" for plant_id in recorded]


_FIELDS = (
    "seq", "id", "plant_id", "kind", "subject", "seen_on", "made_at", "clock_difference", "corrected_at", "received_at",
    "details", "replaces", "withdraws", "author_id", "device", "form", "fingerprint",
)  # fmt: skip
_INSERT = f"INSERT INTO entry ({', '.join(_FIELDS[1:])}) VALUES ({', '.join('?' * (len(_FIELDS) - 1))})"  # noqa: S608
# A root of '' is the entry itself.
_INSERT_HEADS = """INSERT INTO standing
    (entry_id, root_id, plant_id, kind, subject, seen_on, corrected_at, corrections)
    SELECT id, iif (id = ?2, '', ?2), plant_id, kind, subject, seen_on, corrected_at, ?3 FROM entry WHERE id = ?1"""
_INSERT_ALONE = """INSERT INTO standing
    (entry_id, root_id, plant_id, kind, subject, seen_on, corrected_at, corrections)
    SELECT id, '', plant_id, kind, subject, seen_on, corrected_at, 0 FROM entry
    WHERE id IN (SELECT value FROM json_each (?)) AND kind <> ?"""
_FINGERPRINTS = "SELECT id, fingerprint FROM entry WHERE id IN (SELECT value FROM json_each (?))"
_DELETE_HEADS = """DELETE FROM standing
    WHERE plant_id = ? AND entry_id IN (SELECT value FROM json_each (?))"""
_STALE_HEADS = """SELECT standing.plant_id FROM standing LEFT JOIN entry ON entry.id = standing.entry_id
    WHERE (standing.plant_id, standing.seen_on, standing.corrected_at, standing.kind, standing.subject)
    IS NOT (entry.plant_id, entry.seen_on, entry.corrected_at, entry.kind, entry.subject)"""
_TIED = """WITH RECURSIVE
    tied (id) AS (
        SELECT value FROM json_each (?1)
        UNION SELECT other.id FROM tied JOIN entry AS other ON other.replaces = tied.id WHERE other.plant_id = ?2
        UNION SELECT other.id FROM tied JOIN entry AS other ON other.withdraws = tied.id WHERE other.plant_id = ?2
        UNION SELECT other.id FROM tied JOIN entry AS here ON here.id = tied.id
            JOIN entry AS other ON other.id = coalesce (here.replaces, here.withdraws) WHERE other.plant_id = ?2
    )
    SELECT entry.id, corrected_at, replaces, withdraws FROM tied JOIN entry ON entry.id = tied.id"""


def _word(before: str | None, now: str) -> str:
    if before is None:
        return "stored"
    return "here" if before == now else "refused"


def _write(fresh: Sequence[NewEntry], ledger: Ledger) -> None:
    connection: Any = database.connection()
    connection.executemany(_INSERT, [_row(new, ledger.now) for new in fresh])
    named = _named_by_others([new.id for new in fresh])
    alone: list[str] = []
    tied: dict[str, list[str]] = {}
    for new in fresh:
        if new.replaces or new.withdraws or new.id in named:
            tied.setdefault(new.plant_id, []).append(new.id)
        else:
            alone.append(new.id)
    connection.execute(_INSERT_ALONE, (json.dumps(alone), WITHDRAWAL))
    for plant_id, ids in tied.items():
        links = _tied_links(ids, plant_id)
        connection.execute(_DELETE_HEADS, (plant_id, json.dumps([link.id for link in links])))
        connection.executemany(_INSERT_HEADS, standing_heads(links))
    for new in fresh:
        ledger.changed("entry", new.id, new.plant_id)


def _row(new: NewEntry, received_at: str) -> tuple[Any, ...]:
    return (
        new.id,
        new.plant_id,
        new.kind,
        new.subject,
        new.seen_on.isoformat(),
        new.made_at,
        new.clock_difference,
        corrected_at(new.made_at, new.clock_difference),
        received_at,
        _json(new.details),
        new.replaces,
        new.withdraws,
        new.author_id,
        new.device,
        new.form,
        new.fingerprint,
    )


def _named_by_others(ids: Sequence[str]) -> set[str]:
    if not ids:
        return set()
    connection: Any = database.connection()
    listed = json.dumps(ids)
    rows = connection.execute(
        "SELECT replaces FROM entry WHERE replaces IN (SELECT value FROM json_each (?1))"
        " UNION SELECT withdraws FROM entry WHERE withdraws IN (SELECT value FROM json_each (?1))",
        (listed,),
    )
    return {name for (name,) in rows}


def _tied_links(ids: Iterable[str], plant_id: str) -> list[Link]:
    connection: Any = database.connection()
    return [Link(*row) for row in connection.execute(_TIED, (json.dumps(list(ids)), plant_id))]


def _links_by_plant() -> Iterator[tuple[str, list[Link]]]:
    table = models.Entry
    # One pass over the table: a query for each plant would read all of it each time.
    rows = table.select(
        table.plant_id, table.id, table.corrected_at, table.replaces, table.withdraws
    ).order_by(table.plant_id)
    for plant_id, group in groupby(rows.tuples().iterator(), key=itemgetter(0)):
        yield plant_id, [Link(*row[1:]) for row in group]


def _select() -> Any:
    return models.Entry.select(*(getattr(models.Entry, field) for field in _FIELDS))


def _entry(row: Sequence[Any]) -> Entry:
    values = dict(zip(_FIELDS, row, strict=True))
    values["seen_on"] = date.fromisoformat(values["seen_on"])
    values["details"] = json.loads(values["details"])
    return Entry(**values)
