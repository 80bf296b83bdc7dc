"""Entries: kept once, never changed, told as a story."""

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
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


class Kept(NamedTuple):
    """What became of one entry: word is "stored", "here" (already) or "refused" (same id, other content)."""

    id: str
    word: str


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
    row = select_entries().where(models.Entry.id == entry_id).tuples().first()
    return as_entry(row) if row else None


def entries_by_id(entry_ids: Iterable[str]) -> dict[str, Entry]:
    """Which of the ids have been kept, standing or not, each with its entry."""
    listed = json.dumps(list(entry_ids))
    here = peewee.SQL("(SELECT value FROM json_each (?))", (listed,))
    rows = select_entries().where(models.Entry.id.in_(here)).tuples()
    return {found.id: found for found in map(as_entry, rows)}


def standing_ids(entry_ids: Iterable[str]) -> set[str]:
    """Of which of the ids something stands: the entry itself or what replaced it."""
    connection: Any = database.connection()
    return {entry_id for (entry_id,) in connection.execute(_STANDING_OF, (json.dumps(list(entry_ids)),))}


def known_ids(entry_ids: Sequence[str]) -> set[str]:
    """Which of the ids have been kept."""
    connection: Any = database.connection()
    rows = connection.execute(
        "SELECT id FROM entry WHERE id IN (SELECT value FROM json_each (?))", (json.dumps(list(entry_ids)),)
    )
    return {entry_id for (entry_id,) in rows}


def count_entries() -> int:
    """How many entries have been kept, standing or not."""
    return int(models.Entry.select().count())


_FIELDS = (
    "seq", "id", "plant_id", "kind", "subject", "seen_on", "made_at", "clock_difference", "corrected_at", "received_at",
    "details", "replaces", "withdraws", "author_id", "device", "form", "fingerprint",
)  # fmt: skip
_INSERT = f"INSERT INTO entry ({', '.join(_FIELDS[1:])}) VALUES ({', '.join('?' * (len(_FIELDS) - 1))})"  # noqa: S608
# A root of '' is the entry itself.
INSERT_HEADS = """INSERT INTO standing
    (entry_id, root_id, plant_id, kind, subject, seen_on, corrected_at, corrections)
    SELECT id, iif (id = ?2, '', ?2), plant_id, kind, subject, seen_on, corrected_at, ?3 FROM entry WHERE id = ?1"""
_INSERT_ALONE = """INSERT INTO standing
    (entry_id, root_id, plant_id, kind, subject, seen_on, corrected_at, corrections)
    SELECT id, '', plant_id, kind, subject, seen_on, corrected_at, 0 FROM entry
    WHERE id IN (SELECT value FROM json_each (?)) AND kind <> ?"""
_INSERT_PHOTO = "INSERT INTO entry_photo (photo_hash, entry_id, plant_id) VALUES (?, ?, ?)"
_FINGERPRINTS = "SELECT id, fingerprint FROM entry WHERE id IN (SELECT value FROM json_each (?))"
_STANDING_OF = """SELECT id FROM entry WHERE id IN (SELECT value FROM json_each (?)) AND EXISTS (
    SELECT 1 FROM standing
    WHERE standing.plant_id = entry.plant_id AND entry.id IN (standing.entry_id, standing.root_id))"""
_DELETE_HEADS = """DELETE FROM standing
    WHERE plant_id = ? AND entry_id IN (SELECT value FROM json_each (?))"""
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
        links = tied_links(ids, plant_id)
        connection.execute(_DELETE_HEADS, (plant_id, json.dumps([link.id for link in links])))
        connection.executemany(INSERT_HEADS, standing_heads(links))
    photos = [(photo, new.id, new.plant_id) for new in fresh for photo in new.details.get("photos", ())]
    if photos:
        connection.executemany(_INSERT_PHOTO, photos)
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


def tied_links(ids: Iterable[str], plant_id: str) -> list[Link]:
    connection: Any = database.connection()
    return [Link(*row) for row in connection.execute(_TIED, (json.dumps(list(ids)), plant_id))]


def select_entries() -> Any:
    return models.Entry.select(*(getattr(models.Entry, field) for field in _FIELDS))


def as_entry(row: Sequence[Any]) -> Entry:
    values = dict(zip(_FIELDS, row, strict=True))
    values["seen_on"] = date.fromisoformat(values["seen_on"])
    values["details"] = json.loads(values["details"])
    return Entry(**values)
