"""Photos are kept once, whole, beside their rows; entries name them before or after; `faults` finds what does not fit."""

from __future__ import annotations

import errno
import hashlib
import os
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tests.photographs import picture
from walkabout.entries.pictures import remade
from walkabout.errors import DataFolderError, DiskFull
from walkabout.records import photos, plants
from walkabout.records.database import database
from walkabout.records.entries import NewEntry, keep_entries
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.records.soundness import faults

Members = tuple[Person, Person]
SENT = picture(120, 90)
NAME = hashlib.sha256(SENT).hexdigest()


@pytest.fixture
def kept(members: Members) -> str:
    """The name of a photo that was kept."""
    assert photos.keep(NAME, remade(SENT), members[1].id) == "stored"
    return NAME


def changed(plant: Plant) -> int:
    found = plants.plant(plant.id)
    assert found is not None
    return found.changed


def test_a_photo_is_kept_once_under_the_name_of_what_was_sent(
    kept: str, yard: Path, members: Members
) -> None:
    assert photos.name_of(SENT) == kept
    assert photos.keep(kept, remade(SENT), members[0].id) == "here"
    files = sorted(
        path.relative_to(yard).as_posix() for path in (yard / "photos").rglob("*") if path.is_file()
    )
    assert files == [f"photos/{kept[:2]}/{kept}.jpg", f"photos/{kept[:2]}/{kept}.thumb.jpg"]
    found = photos.photo(kept)
    assert found is not None
    assert (found.width, found.height, found.author_id) == (120, 90, members[1].id)
    assert found.kept_hash == hashlib.sha256((yard / files[0]).read_bytes()).hexdigest()
    assert found.bytes == (yard / files[0]).stat().st_size
    assert faults() == []


@pytest.mark.parametrize("photo_first", [True, False])
def test_photo_and_entry_come_in_any_order_and_the_page_is_marked(
    plant: Plant, members: Members, make_entry: Callable[..., NewEntry], photo_first: bool
) -> None:
    entry = make_entry("a", details={"words": "Rust", "photos": [NAME]})
    steps = [lambda: photos.keep(NAME, remade(SENT), members[1].id), lambda: keep_entries([entry])]
    for step in steps if photo_first else reversed(steps):
        before = changed(plant)
        assert photos.shown_lately(9) == []
        step()
    assert changed(plant) > before
    assert photos.shown_lately(9) == [NAME]
    assert photos.come([NAME, "0" * 64]).keys() == {NAME}
    assert faults() == []


def test_the_latest_seen_are_shown_first_and_what_was_taken_back_is_not(
    members: Members, make_entry: Callable[..., NewEntry]
) -> None:
    names = []
    for day in (3, 1, 2, 4):
        sent = picture(10, 10 + day)
        names.append(photos.name_of(sent))
        photos.keep(names[-1], remade(sent), members[0].id)
        keep_entries([make_entry(f"e{day}", seen_on=date(2026, 3, day), details={"photos": [names[-1]]})])
    keep_entries([make_entry("w", 9, withdraws="e4")])
    assert photos.shown_lately(9) == [names[0], names[2], names[1]]
    assert photos.shown_lately(1) == [names[0]]


def test_entries_without_photos_cost_no_query_more(
    make_entry: Callable[..., NewEntry], count_queries: Callable[..., object]
) -> None:
    with count_queries() as queries:  # type: ignore[attr-defined]
        keep_entries([make_entry("a"), make_entry("b")])
    assert not [one for one in queries if "photo" in one]


def test_lost_files_are_given_back(kept: str, members: Members) -> None:
    photos.thumb_path(kept).unlink()
    assert not photos.is_kept(kept)
    assert photos.keep(kept, remade(SENT), members[0].id) == "stored"
    assert photos.is_kept(kept)
    assert faults() == []


def test_what_does_not_fit_is_found(kept: str, make_entry: Callable[..., NewEntry]) -> None:
    path, thumb = photos.picture_path(kept), photos.thumb_path(kept)
    for file, content, words in (
        (path, None, "is missing"),
        (thumb, None, "is missing"),
        (path, b"x", "is not what was kept"),
        (thumb, b"", "is not what was kept"),
    ):
        whole = file.read_bytes()
        file.unlink() if content is None else file.write_bytes(content)
        assert faults() == [f"photos/{kept[:2]}/{file.name}: this photo {words}"]
        file.write_bytes(whole)
    foreign = path.with_name("holiday.jpg")
    foreign.write_bytes(whole)
    path.with_name(path.name + ".part").write_bytes(b"x")
    assert [fault.split(": ")[1] for fault in faults()] == [
        "this file was not written to its end; nothing is lost if it is moved away",
        "this file belongs to no photo; nothing is lost if it is moved away",
    ]
    foreign.unlink()
    path.with_name(path.name + ".part").unlink()
    keep_entries([make_entry("a", details={"photos": [kept]})])
    database.execute_sql("UPDATE entry_photo SET photo_hash = 'other'")
    assert faults() == [
        f"entry a: its photo {kept} is not noted in entry_photo",
        "entry a: entry_photo notes other, the entry does not",
    ]


@pytest.mark.parametrize(
    ("number", "error", "words"),
    [(errno.ENOSPC, DiskFull, "The disk is full"), (errno.EACCES, DataFolderError, "right to write")],
)
def test_a_disk_that_takes_no_more_keeps_nothing_of_a_photo(
    yard: Path,
    members: Members,
    monkeypatch: pytest.MonkeyPatch,
    number: int,
    error: type[Exception],
    words: str,
) -> None:
    def refuse(_handle: int) -> None:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as disk:  # the disk lies outside; its word for it is put in
        disk.setattr(os, "fsync", refuse)
        with pytest.raises(error, match=words):
            photos.keep(NAME, remade(SENT), members[1].id)
    assert photos.photo(NAME) is None
    assert [path for path in (yard / "photos").rglob("*") if path.is_file()] == []
    assert faults() == []
