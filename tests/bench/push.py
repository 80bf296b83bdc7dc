"""Entries pushed by a phone, checked and kept 50 a commit, against plain sqlite3 with 50 rows a commit.

All write to the same disk with synchronous FULL in WAL mode. Plain sqlite3 does it in two ways: the same rows into the
same entry table, which is what keeping an entry costs before anything is checked, numbered or made to stand; and, as
the barest thing that could hold an entry at all, its JSON under its id.
"""

from __future__ import annotations

import json
import random
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

from tests.bench.filled import as_sent, filled, invented
from tests.bench.measure import Figure, by_turns
from tests.cast import NOW
from walkabout.records.schema import bring_up_to_date
from walkabout.records.yards import the_yard
from walkabout.sync.inbox import take

ENTRIES = 1000
A_COMMIT = 50


Batches = list[list[list[dict[str, Any]]]]
COLUMNS = (
    "id", "plant_id", "kind", "subject", "seen_on", "made_at", "clock_difference", "corrected_at", "received_at", "details",
    "replaces", "withdraws", "author_id", "device", "form", "fingerprint",
)  # fmt: skip
INSERT = f"INSERT INTO entry ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"


def row(sent: dict[str, Any]) -> tuple[Any, ...]:
    """The row of an entry as it was sent, with fillers of the usual length for what the product works out."""
    return (
        sent["id"], sent["plant"], sent["kind"], "subject", sent["seen_on"], sent["made_at"], sent["clock_difference"],
        1_764_000_000_000, sent["made_at"], json.dumps(sent["details"]), sent["replaces"], sent["withdraws"],
        sent["author"], sent["device"], sent["form"], "0" * 64,
    )  # fmt: skip


def count_up(start: datetime) -> Iterator[datetime]:
    """Moments twenty seconds apart."""
    for number in count(1):
        yield start + timedelta(seconds=20 * number)


def measured(folder: Path, *, scale: float, full: bool) -> Iterator[Figure]:
    """Yield the figures; `scale` below 1 makes the work smaller."""
    entries = max(A_COMMIT, round(ENTRIES * scale))
    chance = random.Random(1)
    bring_up_to_date(folder / "plain.sqlite3")
    with (
        filled(folder / "push", 40, 0) as yard,
        closing(sqlite3.connect(folder / "plain.sqlite3")) as plain,
        closing(sqlite3.connect(folder / "bare.sqlite3")) as bare,
    ):
        keeper = yard.cast.keeper.person
        assert keeper is not None
        place = the_yard()
        for connection in (plain, bare):
            connection.executescript("PRAGMA journal_mode = wal; PRAGMA synchronous = full;")
        bare.execute("CREATE TABLE entry (id TEXT PRIMARY KEY, sent TEXT NOT NULL)")

        clock = count_up(NOW - timedelta(days=30))

        def batches() -> list[list[dict[str, Any]]]:
            # As from a phone: made one after the other, so that ids of version 7 rise, and seen within the week.
            fresh = [
                as_sent(invented(yard.plants[n % 40], keeper, chance, next(clock), days=7))
                for n in range(entries)
            ]
            return [fresh[start : start + A_COMMIT] for start in range(0, entries, A_COMMIT)]

        # Made beforehand, because a phone makes them: each turn pushes entries that are new.
        turns = 9 if full else 5
        ours, again, theirs, barest = ([batches() for _ in range(turns + 1)] for _ in range(4))

        def push(waiting: Batches) -> None:
            for batch in waiting.pop():
                answers = take(batch, keeper, place, NOW)
                assert [answer.word for answer in answers] == ["stored"] * len(batch), answers

        def write() -> None:
            for batch in theirs.pop():
                with plain:
                    plain.executemany(INSERT, [row(entry) for entry in batch])

        def write_bare() -> None:
            for batch in barest.pop():
                with bare:
                    bare.executemany(
                        "INSERT INTO entry VALUES (?, ?)",
                        [(entry["id"], json.dumps(entry)) for entry in batch],
                    )

        pushed, written = by_turns(lambda: push(ours), write, turns)
        pushed_again, written_bare = by_turns(lambda: push(again), write_bare, turns)
    yield Figure(f"{entries} entries checked and kept, {A_COMMIT} a commit", pushed * 1000, "ms")
    yield Figure(
        f"the same rows into the same table by plain sqlite3, {A_COMMIT} a commit", written * 1000, "ms"
    )
    yield Figure("pushing against plain sqlite3", pushed / written, "x", goal=6)
    yield Figure(f"{entries} bare texts under their ids by plain sqlite3", written_bare * 1000, "ms")
    yield Figure("pushing against plain sqlite3 with bare texts", pushed_again / written_bare, "x", goal=6)
