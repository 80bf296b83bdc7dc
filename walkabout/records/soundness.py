"""Is the data folder sound? Each fault is one line."""

import json
from typing import Any

from walkabout.records import models
from walkabout.records.database import database
from walkabout.records.photo_faults import photo_faults
from walkabout.records.standing_table import standing_faults


def faults() -> list[str]:
    """The faults of the open database; empty when it is sound."""
    connection: Any = database.connection()
    found = [f"database: {line}" for (line,) in connection.execute("PRAGMA integrity_check") if line != "ok"]
    for table, row, parent, _ in connection.execute("PRAGMA foreign_key_check"):
        found.append(f"{table} row {row}: names something in {parent} that is not there")
    if found:
        return found  # what follows reads the tables and would only stumble over the same damage
    found += standing_faults()
    found += _unreadable_entries()
    found += _unnumbered_entries()
    found += photo_faults()
    return found


def _unreadable_entries() -> list[str]:
    found = []
    for entry_id, details in models.Entry.select(models.Entry.id, models.Entry.details).tuples().iterator():
        try:
            readable = isinstance(json.loads(details), dict)
        except ValueError:
            readable = False
        if not readable:
            found.append(f"entry {entry_id}: its details cannot be read")
    return found


def _unnumbered_entries() -> list[str]:
    numbered = models.Change.select(models.Change.record_id).where(models.Change.record == "entry")
    rows = models.Entry.select(models.Entry.id).where(models.Entry.id.not_in(numbered)).tuples()
    return [
        f"entry {entry_id}: its change was never numbered, so phones would not see it" for (entry_id,) in rows
    ]
