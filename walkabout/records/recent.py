"""What was noted last: of some works, with some answer, by a person."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

import peewee

from walkabout.records import models
from walkabout.records.entries import WITHDRAWAL, Entry, as_entry, select_entries

WORK_DONE = "done"  # the kind whose details list works
LOOKED_AT = 200  # of the latest entries of a yard, so that a person who notes seldom costs no long search

_STANDING = """FROM standing JOIN entry ON entry.id = standing.entry_id
    WHERE standing.plant_id IN (SELECT value FROM json_each (?)) AND standing.kind = ?"""
_LATEST_FIRST = "standing.seen_on DESC, standing.corrected_at DESC, standing.entry_id DESC"

_WORKS = f"""SELECT entry_id FROM (
        SELECT standing.entry_id,
            ROW_NUMBER () OVER (PARTITION BY done.value ORDER BY {_LATEST_FIRST}) AS place
        FROM standing JOIN entry ON entry.id = standing.entry_id
            JOIN json_each (entry.details, '$.work') AS done
        WHERE standing.plant_id IN (SELECT value FROM json_each (?)) AND standing.kind = ?
            AND standing.seen_on >= ? AND done.value IN (SELECT value FROM json_each (?))
    ) WHERE place = 1"""  # noqa: S608 -- all text of ours

_ANSWERED = f"""SELECT * FROM (SELECT standing.entry_id {_STANDING}
        AND EXISTS (SELECT 1 FROM json_each (entry.details) AS answer
            WHERE answer.key IN (SELECT value FROM json_each (?)))
    ORDER BY {_LATEST_FIRST} LIMIT 1)"""  # noqa: S608 -- all text of ours

_ENDING_LAST = f"""SELECT * FROM (SELECT standing.entry_id {_STANDING}
        AND standing.seen_on >= ? AND json_extract (entry.details, ?) IS NOT NULL
    ORDER BY julianday (standing.seen_on) + json_extract (entry.details, ?) DESC, {_LATEST_FIRST}
    LIMIT 1)"""  # noqa: S608 -- all text of ours


class Answered(NamedTuple):
    """An entry of a kind that answers any of these fields."""

    kind: str
    fields: tuple[str, ...]


class Lasting(NamedTuple):
    """An entry of a kind that lasts for as many days as this field says."""

    kind: str
    field: str


@dataclass(frozen=True, slots=True)
class Recent:
    """What was noted last about a plant.

    Attributes:
        works: for each work that was asked for the entry that tells of it.
        answered: for each question the entry that answers it, or None.
        lasting: the entry that lasts longest, or None.
    """

    works: Mapping[str, Entry]
    answered: tuple[Entry | None, ...]
    lasting: Entry | None


def recent(
    plant_id: str,
    since: date,
    *,
    works: Sequence[str],
    answered: Sequence[Answered],
    lasting: Lasting,
    merged: Sequence[str] = (),
) -> Recent:
    """What was noted last about a plant, in one query; only what stands counts.

    Args:
        plant_id: the plant.
        since: the first day that counts for works and for what lasts.
        works: keys of works; an entry of several works may be that of several keys.
        answered: the last entry that answers any of these fields, one for each, whenever that was.
        lasting: of the entries that last for some days the one that ends last.
        merged: plants that turned out to be this one; their entries count too.
    """
    about, day = json.dumps([plant_id, *merged]), since.isoformat()
    path = f"$.{lasting.field}"
    parts = [
        (_WORKS, (about, WORK_DONE, day, json.dumps(list(works)))),
        *((_ANSWERED, (about, asked.kind, json.dumps(asked.fields))) for asked in answered),
        (_ENDING_LAST, (about, lasting.kind, day, path, path)),
    ]
    picked = " UNION ".join(text for text, _ in parts)
    values = [value for _, own in parts for value in own]
    query = select_entries().where(models.Entry.id.in_(peewee.SQL(f"({picked})", values)))
    found = sorted(
        (as_entry(row) for row in query.tuples()),
        key=lambda one: (one.seen_on, one.corrected_at, one.id),
        reverse=True,
    )
    return Recent(
        works=_by_work(found, works, since),
        answered=tuple(
            next((one for one in found if one.kind == asked.kind and one.details.keys() & asked.fields), None)
            for asked in answered
        ),
        lasting=max(
            (one for one in found if one.seen_on >= since and _lasts(one, lasting) is not None),
            key=lambda one: one.seen_on + timedelta(days=_lasts(one, lasting) or 0),
            default=None,
        ),
    )


def _by_work(latest_first: Sequence[Entry], works: Sequence[str], since: date) -> dict[str, Entry]:
    latest: dict[str, Entry] = {}
    for entry in latest_first:
        for work in entry.details.get("work", ()) if entry.seen_on >= since else ():
            if work in works:
                latest.setdefault(work, entry)
    return latest


def _lasts(entry: Entry, lasting: Lasting) -> float | None:
    return entry.details.get(lasting.field) if entry.kind == lasting.kind else None


def chosen_by(person_id: str, since: date, limit: int) -> list[Entry]:
    """What a person entered last, the latest first: of any plant, seen on or after `since`, withdrawals left out."""
    table = models.Entry
    newest = models.Entry.alias()
    query = (
        select_entries()
        .where(
            (table.seq > newest.select(peewee.fn.MAX(newest.seq) - LOOKED_AT))
            & (table.author_id == person_id)
            & (table.kind != WITHDRAWAL)
            & (table.seen_on >= since.isoformat())
        )
        .order_by(table.seq.desc())
        .limit(limit)
    )
    return [as_entry(row) for row in query.tuples()]
