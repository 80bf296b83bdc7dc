"""Entries pushed by a phone, checked and kept 50 a commit, against plain sqlite3 with 50 rows a commit.

Both write to the same disk with synchronous FULL in WAL mode. The plain one writes the same JSON under its id.
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

from tests.bench.filled import as_sent, filled, invented
from tests.bench.measure import Figure, by_turns
from tests.cast import NOW
from walkabout.records.yards import the_yard
from walkabout.sync.inbox import take

ENTRIES = 1000
A_COMMIT = 50


def count_up(start: datetime) -> Iterator[datetime]:
    """Moments twenty seconds apart."""
    for number in count(1):
        yield start + timedelta(seconds=20 * number)


def measured(folder: Path, *, scale: float, full: bool) -> Iterator[Figure]:
    """Yield the figures; `scale` below 1 makes the work smaller."""
    entries = max(A_COMMIT, round(ENTRIES * scale))
    chance = random.Random(1)
    with filled(folder / "push", 40, 0) as yard, closing(sqlite3.connect(folder / "plain.sqlite3")) as plain:
        keeper = yard.cast.keeper.person
        assert keeper is not None
        place = the_yard()
        plain.executescript("PRAGMA journal_mode = wal; PRAGMA synchronous = full;")
        plain.execute("CREATE TABLE entry (id TEXT PRIMARY KEY, sent TEXT NOT NULL)")

        clock = count_up(NOW - timedelta(days=30))

        def batches() -> list[list[dict[str, object]]]:
            # As from a phone: made one after the other, so that ids of version 7 rise, and seen within the week.
            fresh = [
                as_sent(invented(yard.plants[n % 40], keeper, chance, next(clock), days=7))
                for n in range(entries)
            ]
            return [fresh[start : start + A_COMMIT] for start in range(0, entries, A_COMMIT)]

        # Made beforehand, because a phone makes them: each turn pushes entries that are new.
        turns = 9 if full else 5
        ours, theirs = ([batches() for _ in range(turns + 1)] for _ in range(2))

        def push() -> None:
            for batch in ours.pop():
                answers = take(batch, keeper, place, NOW)
                assert [answer.word for answer in answers] == ["stored"] * len(batch), answers

        def write() -> None:
            for batch in theirs.pop():
                with plain:
                    plain.executemany(
                        "INSERT INTO entry VALUES (?, ?)",
                        [(entry["id"], json.dumps(entry)) for entry in batch],
                    )

        pushed, written = by_turns(push, write, turns)
    yield Figure(f"{entries} entries checked and kept, {A_COMMIT} a commit", pushed * 1000, "ms")
    yield Figure(f"{entries} rows by plain sqlite3, {A_COMMIT} a commit", written * 1000, "ms")
    yield Figure("pushing against plain sqlite3", pushed / written, "x", goal=6)
