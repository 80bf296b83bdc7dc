"""The story of a plant: what stands of its entries, and everything that was tied to one of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

import peewee

from walkabout.records import models
from walkabout.records.entries import Entry, as_entry, entry, select_entries, tied_links
from walkabout.records.standing import standing_heads

MOST_REPLACED = 200


@dataclass(frozen=True, slots=True)
class Told:
    """A line of the story: an entry that stands, who made it, what it goes back to, how often corrected."""

    entry: Entry
    author_name: str
    root_id: str
    corrections: int


class Place(NamedTuple):
    """A place in the story, newest first, from which to read on."""

    seen_on: str
    corrected_at: int
    entry_id: str


def story(
    plant_id: str, limit: int, before: Place | None = None, *, merged: Sequence[str] = ()
) -> list[Told]:
    """What stands of a plant, latest seen first.

    Args:
        plant_id: the plant.
        limit: how many lines at most.
        before: go on after this place (see `place_of`).
        merged: plants that turned out to be this one; their entries are told with its own.
    """
    standing = models.Standing
    query = (
        select_entries()
        .select_extend(models.Person.name, standing.root_id, standing.corrections)
        .join(standing, on=(standing.entry_id == models.Entry.id))
        .join(models.Person, on=(models.Person.id == models.Entry.author_id))
        .where(_about(plant_id, merged))
        .order_by(standing.seen_on.desc(), standing.corrected_at.desc(), standing.entry_id.desc())
        .limit(limit)
    )
    if before is not None:
        here = peewee.Tuple(standing.seen_on, standing.corrected_at, standing.entry_id)
        query = query.where(here < peewee.Tuple(*before))
    found = []
    for *row, author_name, root_id, corrections in query.tuples():
        line = as_entry(row)
        found.append(Told(line, author_name, root_id or line.id, corrections))
    return found


def place_of(told: Told) -> Place:
    """Where a line stands in the story, for reading on after it."""
    return Place(told.entry.seen_on.isoformat(), told.entry.corrected_at, told.entry.id)


def replaced(root_ids: Sequence[str], standing_ids: Sequence[str]) -> dict[str, list[Told]]:
    """For each of these roots what stood before, the latest made first: the root and its corrections but what stands.

    One query. Of very many corrections the latest MOST_REPLACED of all roots together are given.
    """
    table = models.Entry
    query = (
        select_entries()
        .select_extend(models.Person.name)
        .join(models.Person, on=(models.Person.id == table.author_id))
        .where(table.id.in_(list(root_ids)) | table.replaces.in_(list(root_ids)))
        .where(table.id.not_in(list(standing_ids)))
        .order_by(table.corrected_at.desc(), table.id.desc())
        .limit(MOST_REPLACED)
    )
    found: dict[str, list[Told]] = {}
    for *row, author_name in query.tuples() if root_ids else ():
        line = as_entry(row)
        root_id = line.replaces or line.id
        found.setdefault(root_id, []).append(Told(line, author_name, root_id, 0))
    return found


def latest(plant_id: str, kind: str, *, merged: Sequence[str] = ()) -> Entry | None:
    """The standing entry of a kind that was seen last; of the merged plants too."""
    standing = models.Standing
    row = (
        select_entries()
        .join(standing, on=(standing.entry_id == models.Entry.id))
        .where(_about(plant_id, merged) & (standing.kind == kind))
        .order_by(standing.seen_on.desc(), standing.corrected_at.desc(), standing.entry_id.desc())
        .tuples()
        .first()
    )
    return as_entry(row) if row else None


def latest_by_subject(
    plant_id: str, kinds: Sequence[str], since: date, *, merged: Sequence[str] = ()
) -> list[Entry]:
    """For each kind and subject the standing entry that was seen last, if on or after `since`; latest first.

    Those of the merged plants are among them.
    """
    standing = models.Standing
    latest_first = [standing.seen_on.desc(), standing.corrected_at.desc(), standing.entry_id.desc()]
    place = peewee.fn.ROW_NUMBER().over(partition_by=[standing.kind, standing.subject], order_by=latest_first)
    ranked = standing.select(standing.entry_id, place.alias("place")).where(
        _about(plant_id, merged) & standing.kind.in_(list(kinds)) & (standing.seen_on >= since.isoformat())
    )
    query = (
        select_entries()
        .join(ranked, on=(ranked.c.entry_id == models.Entry.id))
        .where(ranked.c.place == 1)
        .order_by(models.Entry.seen_on.desc(), models.Entry.corrected_at.desc(), models.Entry.id.desc())
    )
    return [as_entry(row) for row in query.tuples()]


def tied_entries(entry_id: str) -> list[Told]:
    """Everything tied to an entry by replacing and withdrawing, itself included, in the order it was made.

    `root_id` and `corrections` of each line are those of what stands of the group, "" and 0 if nothing does.
    """
    found = entry(entry_id)
    if found is None:
        return []
    links = tied_links([entry_id], found.plant_id)
    heads = {head.root_id: head for head in standing_heads(links)}
    head = next(iter(heads.values()), None)
    query = (
        select_entries()
        .select_extend(models.Person.name)
        .join(models.Person, on=(models.Person.id == models.Entry.author_id))
        .where(models.Entry.id.in_([link.id for link in links]))
        .order_by(models.Entry.corrected_at, models.Entry.id)
    )
    root_id, corrections = (head.root_id, head.corrections) if head else ("", 0)
    return [Told(as_entry(row[:-1]), row[-1], root_id, corrections) for row in query.tuples()]


def standing_entry(entry_id: str) -> Entry | None:
    """What stands of the group of entries that the named one is tied to; None if nothing does."""
    found = entry(entry_id)
    if found is None:
        return None
    heads = standing_heads(tied_links([entry_id], found.plant_id))
    return entry(heads[0].entry_id) if heads else None


def _about(plant_id: str, merged: Sequence[str]) -> Any:
    """What picks the entries of a plant and of those merged into it."""
    column = models.Standing.plant_id
    # Of one plant the rows lie in the order of the story already; a list of plants would have to be sorted.
    return column.in_([plant_id, *merged]) if merged else column == plant_id
