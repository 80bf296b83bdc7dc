"""What was noted last: of some works, with some answer, by a person."""

import json
from collections.abc import Sequence
from datetime import date
from typing import Any

import peewee

from walkabout.records import models
from walkabout.records.entries import WITHDRAWAL, Entry, as_entry, select_entries

LOOKED_AT = 200  # of the latest entries of a yard, so that a person who notes seldom costs no long search

_LATEST_WORKS = """(SELECT entry_id FROM (
        SELECT standing.entry_id, ROW_NUMBER () OVER (
            PARTITION BY done.value
            ORDER BY standing.seen_on DESC, standing.corrected_at DESC, standing.entry_id DESC
        ) AS place
        FROM standing JOIN entry ON entry.id = standing.entry_id
            JOIN json_each (entry.details, '$.work') AS done
        WHERE standing.plant_id IN (SELECT value FROM json_each (?)) AND standing.kind = 'done'
            AND standing.seen_on >= ? AND done.value IN (SELECT value FROM json_each (?))
    ) WHERE place = 1)"""

_LATEST_ANSWERED = """(SELECT standing.entry_id
    FROM standing JOIN entry ON entry.id = standing.entry_id
    WHERE standing.plant_id IN (SELECT value FROM json_each (?)) AND standing.kind = ?
        AND EXISTS (SELECT 1 FROM json_each (entry.details) AS answer
            WHERE answer.key IN (SELECT value FROM json_each (?)))
    ORDER BY standing.seen_on DESC, standing.corrected_at DESC, standing.entry_id DESC LIMIT 1)"""


def latest_works(
    plant_id: str, works: Sequence[str], since: date, *, merged: Sequence[str] = ()
) -> dict[str, Entry]:
    """For each of these works the standing entry that tells of it and was seen last, if on or after `since`.

    Args:
        plant_id: the plant.
        works: keys of works; an entry of several works may be that of several keys.
        since: the first day that counts.
        merged: plants that turned out to be this one; their entries count too.
    """
    found = _entries(
        _LATEST_WORKS, json.dumps([plant_id, *merged]), since.isoformat(), json.dumps(list(works))
    )
    latest_first = sorted(found, key=lambda one: (one.seen_on, one.corrected_at, one.id), reverse=True)
    latest: dict[str, Entry] = {}
    for entry in latest_first:
        for work in entry.details.get("work", ()):
            if work in works:
                latest.setdefault(work, entry)
    return latest


def latest_answered(
    plant_id: str, kind: str, fields: Sequence[str], *, merged: Sequence[str] = ()
) -> Entry | None:
    """The standing entry of a kind that answers any of these fields and was seen last."""
    found = _entries(_LATEST_ANSWERED, json.dumps([plant_id, *merged]), kind, json.dumps(list(fields)))
    return found[0] if found else None


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


def _entries(picked: str, *values: Any) -> list[Entry]:
    query = select_entries().where(models.Entry.id.in_(peewee.SQL(picked, values)))
    return [as_entry(row) for row in query.tuples()]
