"""What the server has answered for is on the disk: a copy of the frozen folder holds it.

Source for the pragma: SQLite's documentation, "PRAGMA synchronous": in WAL mode FULL syncs the log at every commit,
NORMAL may lose the last commits at a power cut. Source for the form of the test: common practice, no source.
"""

from __future__ import annotations

import random
import shutil
import sqlite3
import subprocess
import sys
import threading
import time
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from flask import request_finished

from tests.kills.wire import Line, note
from walkabout.records.database import FILE_NAME, database

if TYPE_CHECKING:
    from flask import Flask

    from tests.cast import Cast
    from tests.server import Server
    from walkabout.records.plants import Plant

COPIES = 30
# Answers that left the server before it froze are read by now.
ARRIVED = 0.05

pytestmark = pytest.mark.kills


class Pushers:
    """Two phones that offer batch after batch and remember every entry that was answered for."""

    def __init__(self, line: Line, plant: Plant) -> None:
        self.line, self.plant = line, plant
        self.answered: set[str] = set()
        self.faults: list[BaseException] = []
        self._over = threading.Event()
        self._threads = [threading.Thread(target=self._push, args=(name,)) for name in ("east", "west")]

    def __enter__(self) -> Pushers:
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        for thread in self._threads:
            thread.join()

    def _push(self, name: str) -> None:
        try:
            number = 0
            while not self._over.is_set():
                batch = [note(self.plant, self.line.author, f"{name} {number} {place}") for place in range(5)]
                answers = self.line.offer(self.line.request(batch))
                assert [answer["word"] for answer in answers] == ["stored"] * len(batch)
                self.answered |= {entry["id"] for entry in batch}
                number += 1
        except BaseException as fault:
            self.faults.append(fault)


def entry_ids(folder: Path) -> set[str]:
    """The ids of all entries in a data folder."""
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        return {entry_id for (entry_id,) in connection.execute("SELECT id FROM entry")}


def check(folder: Path) -> subprocess.CompletedProcess[str]:
    """Run ``walkabout check`` on a data folder."""
    return subprocess.run(
        [sys.executable, "-m", "walkabout", "check", "--data", str(folder)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
    )


def test_copies_of_the_frozen_folder_hold_every_answered_entry(
    server: Server, cast: Cast, plant: Plant, tmp_path: Path
) -> None:
    chance = random.Random(20261125)
    copies: list[tuple[Path, set[str]]] = []
    with Pushers(Line(server, cast.keeper), plant) as pushers:
        for number in range(COPIES):
            time.sleep(chance.uniform(0.02, 0.15))
            server.freeze()
            time.sleep(ARRIVED)
            answered = set(pushers.answered)
            copy = tmp_path / f"copy-{number}"
            shutil.copytree(server.folder, copy)
            server.thaw()
            # The shared-memory index lives in memory and is gone after a power cut; SQLite makes it anew.
            (copy / f"{FILE_NAME}-shm").unlink(missing_ok=True)
            copies.append((copy, answered))
    assert pushers.faults == []
    assert len(copies[0][1]) < len(copies[-1][1]), "nothing was being written while the copies were made"
    for copy, answered in copies:
        checked = check(copy)
        assert checked.returncode == 0, f"{copy.name}: {checked.stdout}{checked.stderr}"
        assert answered - entry_ids(copy) == set(), f"{copy.name} lacks what was answered for"


def test_the_serving_connection_syncs_every_commit(app: Flask, cast: Cast) -> None:
    seen: list[tuple[int, str]] = []

    def look(_app: Flask, **_: object) -> None:
        (synchronous,) = database.execute_sql("PRAGMA synchronous").fetchone()
        (journal,) = database.execute_sql("PRAGMA journal_mode").fetchone()
        seen.append((synchronous, journal))

    with request_finished.connected_to(look, app):
        # On a thread of its own, as the server runs its requests.
        thread = threading.Thread(target=cast.keeper.get, args=("/",))
        thread.start()
        thread.join()
    assert seen == [(2, "wal")]  # 2 is FULL
