"""Opening the database and writing to it."""

import threading
from pathlib import Path

import pytest

from tests.cast import set_up_yard
from walkabout.errors import DataFolderError, DiskFull, YardMissing
from walkabout.records import changes, models, spots
from walkabout.records.database import (
    FILE_NAME,
    close_database,
    connect_thread,
    database,
    open_database,
    writing,
)


def test_a_folder_without_a_yard_says_how_to_set_one_up(tmp_path: Path) -> None:
    with pytest.raises(YardMissing, match=r"walkabout .*init"):
        open_database(tmp_path / "nowhere")
    assert not (tmp_path / "nowhere").exists()


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(DataFolderError, match=r"cannot be made .*--data"):
        open_database(tmp_path / "file" / "yard", create=True)


def test_a_damaged_file_is_named(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_bytes(b"not a database at all, but long enough to have a header" * 30)
    with pytest.raises(DataFolderError, match=r"damaged or not a database.*Restore"):
        open_database(tmp_path)


def test_commits_are_synced_in_every_thread(folder: Path) -> None:
    found = []

    def look() -> None:
        connect_thread()
        found.extend(database.execute_sql(f"PRAGMA {name}").fetchone()[0] for name in names)
        close_database()

    names = ("synchronous", "journal_mode", "foreign_keys", "busy_timeout", "trusted_schema")
    thread = threading.Thread(target=look)
    thread.start()
    thread.join()
    assert found == [2, "wal", 1, 5000, 0]


def test_a_full_disk_is_said_and_what_was_recorded_is_safe(folder: Path) -> None:
    set_up_yard()
    before = changes.latest_change()
    pages = database.execute_sql("PRAGMA page_count").fetchone()[0]
    database.execute_sql(f"PRAGMA max_page_count = {pages + 2}")

    def fill() -> None:
        with writing():
            for number in range(500):
                spots.save_spot(f"Spot {number} " + "x" * 500)

    with pytest.raises(DiskFull, match=r"is safe.*Free some space"):
        fill()
    database.execute_sql("PRAGMA max_page_count = 1073741823")
    assert spots.spots() == []
    assert changes.latest_change() == before
    spots.save_spot("Room again")
    assert changes.latest_change() == before + 1


def test_a_write_that_fails_leaves_nothing_behind(folder: Path) -> None:
    set_up_yard()
    before = changes.latest_change()

    def two_steps() -> None:
        with writing():
            spots.save_spot("First")
            raise RuntimeError("in between")

    with pytest.raises(RuntimeError):
        two_steps()
    assert models.Spot.select().count() == 0
    assert changes.latest_change() == before
