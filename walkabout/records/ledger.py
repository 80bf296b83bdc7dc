"""The number of every change: what changed, in which order, and which plant pages it makes stale."""

from collections.abc import Collection
from datetime import UTC, datetime
from typing import Any, NamedTuple

import peewee

_ANY_MERGED = "SELECT EXISTS (SELECT 1 FROM plant WHERE merged_into IS NOT NULL)"
_MARK_SURVIVORS = """WITH RECURSIVE up (id) AS (
        SELECT merged_into FROM plant WHERE id = ?2
        UNION SELECT plant.merged_into FROM up JOIN plant ON plant.id = up.id
    )
    UPDATE plant SET changed = ?1 WHERE id IN (SELECT id FROM up)"""


class _Change(NamedTuple):
    record: str
    record_id: str
    plant_id: str | None


def written_at() -> str:
    """The moment of writing as stored in the books: UTC, ISO 8601, milliseconds.

    Bookkeeping only: no answer that a page gives is worked out from it.
    """
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%S.%f")[:-3] + "Z"


class Ledger:
    """Collects the changes of one write transaction; numbers are given when it closes, before the commit.

    SQLite lets one transaction write at a time, so the order of the numbers is the order of the commits.
    """

    def __init__(self, database: peewee.SqliteDatabase) -> None:
        self._database = database
        self._changes: list[_Change] = []
        self.now = written_at()

    def changed(self, record: str, record_id: str, plant_id: str | None = None) -> None:
        """Note a change.

        Args:
            record: the kind of record, as in the words of the project: "plant", "entry", ...
            record_id: its id.
            plant_id: the plant whose page shows it; None when every page may.
        """
        self._changes.append(_Change(record, record_id, plant_id))

    def close(self) -> None:
        """Write the changes noted and mark the pages that they make stale."""
        if not self._changes:
            return
        connection: Any = self._database.connection()
        connection.executemany(
            "INSERT INTO change (record, record_id, plant_id, made_at) VALUES (?, ?, ?, ?)",
            [(*change, self.now) for change in self._changes],
        )
        newest = connection.execute("SELECT max(number) FROM change").fetchone()[0]
        self._mark(connection, {change.plant_id for change in self._changes}, newest)
        self._changes.clear()

    @staticmethod
    def _mark(connection: Any, plant_ids: Collection[str | None], newest: int) -> None:
        plants = [(newest, plant_id) for plant_id in plant_ids if plant_id is not None]
        connection.executemany("UPDATE plant SET changed = ? WHERE id = ?", plants)
        # What is told of a merged plant is told on the page of the one that it turned out to be.
        if plants and connection.execute(_ANY_MERGED).fetchone()[0]:
            connection.executemany(_MARK_SURVIVORS, plants)
        if None in plant_ids:
            connection.execute("UPDATE yard SET changed = ?", (newest,))
