"""The table that remembers which entries stand: worked out anew, and compared with the entries."""

from collections.abc import Iterator
from itertools import groupby
from operator import itemgetter
from typing import Any

from walkabout.records import models
from walkabout.records.database import database, writing
from walkabout.records.entries import INSERT_HEADS
from walkabout.records.standing import Link, standing_heads


def rebuild_standing() -> None:
    """Work out anew, from the entries alone, which stand."""
    with writing():
        connection: Any = database.connection()
        connection.execute("DELETE FROM standing")
        for _, links in _links_by_plant():
            connection.executemany(INSERT_HEADS, standing_heads(links))


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


_STALE_HEADS = """SELECT standing.plant_id FROM standing LEFT JOIN entry ON entry.id = standing.entry_id
    WHERE (standing.plant_id, standing.seen_on, standing.corrected_at, standing.kind, standing.subject)
    IS NOT (entry.plant_id, entry.seen_on, entry.corrected_at, entry.kind, entry.subject)"""


def _links_by_plant() -> Iterator[tuple[str, list[Link]]]:
    table = models.Entry
    # One pass over the table: a query for each plant would read all of it each time.
    rows = table.select(
        table.plant_id, table.id, table.corrected_at, table.replaces, table.withdraws
    ).order_by(table.plant_id)
    for plant_id, group in groupby(rows.tuples().iterator(), key=itemgetter(0)):
        yield plant_id, [Link(*row[1:]) for row in group]
