"""A backup is whole while others write, is read again before it counts, and comes back as it was."""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
import threading
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from tests.cast import NOW, PASSWORD, new_entry
from tests.photo_files import lay_photo, photo_files
from tests.records.test_steps import FORMS
from walkabout.errors import BadInput, DataFolderError, DiskFull, SchemaTooNew, WalkaboutError
from walkabout.records import models, people, plants, sessions, soundness, stories, yards
from walkabout.records.backup import Backup, make_backup, verified
from walkabout.records.bundle import MANIFEST
from walkabout.records.database import FILE_NAME, close_database, connect_thread, open_database
from walkabout.records.entries import keep_entries
from walkabout.records.plants import Plant
from walkabout.records.restoring import restore
from walkabout.records.steps import STEPS

Members = tuple[people.Person, people.Person]
Edit = Callable[[dict[str, bytes]], None]
os_fdopen = os.fdopen


def rows(path: Path, table: str) -> set[tuple[Any, ...]]:
    """All rows of a table, read without the program."""
    with closing(sqlite3.connect(path)) as connection:
        return set(connection.execute(f"SELECT * FROM {table}"))


@pytest.fixture
def held(yard: Path, plant: Plant, members: Members) -> Path:
    """A yard with an entry, a photo, somebody signed in and a link that lets in."""
    keep_entries([new_entry(plant, members[1], "note", words="Scale")])
    lay_photo(yard, members[1], b"a photo" * 500)
    return yard


@pytest.fixture
def backup(held: Path, tmp_path: Path) -> Path:
    """A backup of it."""
    out = tmp_path / "copies" / "yard.zip"
    out.parent.mkdir()
    make_backup(held, out, NOW)
    return out


def test_what_is_confirmed_before_is_in_it_while_others_write(
    yard: Path, plant: Plant, members: Members, tmp_path: Path
) -> None:
    owner, keeper = members
    confirmed: list[str] = []
    photos: list[str] = []
    ended, begun = threading.Event(), threading.Event()
    faults: list[BaseException] = []

    def write() -> None:
        try:
            connect_thread()
            number = 0
            while not ended.is_set():
                number += 1
                batch = [new_entry(plant, keeper, "note", words=f"{number} {one}") for one in range(5)]
                photo = lay_photo(yard, owner, f"photo {number}".encode() * 500)
                assert {kept.word for kept in keep_entries(batch)} == {"stored"}
                confirmed.extend(new.id for new in batch)
                photos.append(photo)
                if number == 10:
                    begun.set()
            close_database()
        except BaseException as fault:
            faults.append(fault)
            begun.set()
            raise

    writer = threading.Thread(target=write)
    writer.start()
    made = []
    try:
        assert begun.wait(60)
        for turn in range(5):
            before = (list(confirmed), list(photos))
            out = tmp_path / f"{turn}.zip"
            made.append((out, before, make_backup(yard, out, NOW)))
    finally:
        ended.set()
        writer.join()
    assert faults == []
    close_database()

    at_the_end = rows(yard / FILE_NAME, "entry"), rows(yard / FILE_NAME, "photo"), photo_files(yard)
    assert len(confirmed) > len(made[0][1][0]), "nothing was written meanwhile"
    for out, (entries_before, photos_before), told in made:
        place = tmp_path / f"restored from {out.stem}"
        restore(out, place)
        assert soundness.faults() == []
        close_database()
        entries, photo_rows, files = (
            rows(place / FILE_NAME, "entry"),
            rows(place / FILE_NAME, "photo"),
            photo_files(place),
        )
        assert set(entries_before) <= {row[1] for row in entries}
        assert set(photos_before) <= {row[0] for row in photo_rows}
        assert entries <= at_the_end[0]
        assert photo_rows <= at_the_end[1]
        assert files.items() <= at_the_end[2].items()
        assert len(files) == 2 * len(photo_rows) == told.photos
        assert told.missing == ()
        # A batch is one transaction: a backup has all of it or nothing.
        assert len(entries) % 5 == 0


def test_all_tables_come_back_but_for_who_is_let_in(held: Path, tmp_path: Path, members: Members) -> None:
    token = sessions.start_session(members[0].id, "phone", NOW)
    link = sessions.issue_link(members[1].id, NOW)
    out = tmp_path / "yard.zip"
    make_backup(held, out, NOW)
    identity = yards.database_id(), yards.secret_key()
    assert sessions.signed_in(token, NOW) is not None
    restore(out, tmp_path / "again")
    assert yards.database_id() != identity[0]
    assert yards.secret_key() != identity[1]
    assert sessions.signed_in(token, NOW) is None
    assert sessions.redeem_link(link, NOW) is None
    assert people.check_password("Odile", PASSWORD) == members[0]
    close_database()
    ours = {"setting", "session", "sign_in_link", "change", "yard"}
    for model in models.MODELS:
        table = model._meta.table_name
        if table not in ours:
            assert rows(held / FILE_NAME, table) == rows(tmp_path / "again" / FILE_NAME, table), table
    assert photo_files(held) == photo_files(tmp_path / "again") != {}


def test_a_lost_or_spoilt_photo_does_not_keep_the_rest_from_being_saved(
    held: Path, tmp_path: Path, members: Members
) -> None:
    lost, spoilt = (lay_photo(held, members[0], content) for content in (b"lost", b"spoilt"))
    (held / "photos" / lost[:2] / f"{lost}.jpg").unlink()
    (held / "photos" / spoilt[:2] / f"{spoilt}.thumb.jpg").write_bytes(b"rust")
    told = make_backup(held, tmp_path / "yard.zip", NOW)
    names = {f"photos/{lost[:2]}/{lost}.jpg", f"photos/{spoilt[:2]}/{spoilt}.thumb.jpg"}
    assert set(told.missing) == names
    assert restore(tmp_path / "yard.zip", tmp_path / "again") == told
    assert photo_files(tmp_path / "again").keys() == photo_files(held).keys() - names


def test_a_backup_stands_beside_what_made_it_with_nothing_left_over(backup: Path) -> None:
    assert [path.name for path in backup.parent.iterdir()] == ["yard.zip"]
    assert backup.stat().st_mode & 0o077 == 0, "others may read the passwords' hashes"
    with zipfile.ZipFile(backup) as archive:
        assert archive.testzip() is None
        manifest = json.loads(archive.read(MANIFEST))
        for name, digest in manifest["members"].items():
            assert hashlib.sha256(archive.read(name)).hexdigest() == digest
        assert {*manifest["members"], MANIFEST} == set(archive.namelist())
    assert manifest["schema"] == len(STEPS)
    assert manifest["counts"]["entry"] == 1


def rewritten(source: Path, target: Path, edit: Edit, *, digests: bool = True) -> Path:
    """The zip again with other members; with `digests` its manifest tells theirs truly."""
    with zipfile.ZipFile(source) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    edit(members)
    if digests:
        manifest = json.loads(members[MANIFEST])
        manifest["members"] = {
            name: hashlib.sha256(content).hexdigest() for name, content in members.items() if name != MANIFEST
        }
        members[MANIFEST] = json.dumps(manifest).encode()
    with zipfile.ZipFile(target, "w") as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return target


def told_in_manifest(**changes: Any) -> Edit:
    def edit(members: dict[str, bytes]) -> None:
        members[MANIFEST] = json.dumps({**json.loads(members[MANIFEST]), **changes}).encode()

    return edit


def with_row_deleted(members: dict[str, bytes]) -> None:
    connection = sqlite3.connect(":memory:")
    connection.deserialize(members[FILE_NAME])
    connection.execute("DELETE FROM tag")
    connection.commit()
    members[FILE_NAME] = connection.serialize()
    connection.close()


def first_photo(members: dict[str, bytes]) -> str:
    return next(name for name in members if name.startswith("photos/"))


def added(name: str) -> Edit:
    return lambda members: members.update({name: b"x"})


BAD: list[tuple[str, Edit, bool, type[WalkaboutError], str]] = [
    ("a path that leads out", added("../evil.txt"), True, BadInput, "does not belong"),
    ("an absolute path", added("/etc/evil"), True, BadInput, "does not belong"),
    ("a path of another system", added("photos\\..\\evil"), True, BadInput, "does not belong"),
    ("a strange photo name", added("photos/aa/../../x.jpg"), True, BadInput, "does not belong"),
    ("a photo that nobody names", added(f"photos/aa/aa{'0' * 62}.jpg"), True, BadInput, "photos are not those"),
    ("a photo less", lambda members: members.pop(first_photo(members)), True, BadInput, "photos are not those"),
    ("a photo less, told", lambda members: members.pop(first_photo(members)), False, BadInput, "missing or was added"),
    ("another photo", lambda members: members.update({first_photo(members): b"x"}), True, BadInput, "not the one"),
    ("changed bytes", lambda members: members.update({first_photo(members): b"x"}), False, BadInput, "as it was written"),
    ("no database", lambda members: members.pop(FILE_NAME), True, BadInput, "no database"),
    ("no database at all", lambda members: members.update({FILE_NAME: b"x" * 5000}), True, BadInput, "cannot be opened"),
    ("a row less", with_row_deleted, True, BadInput, "what was counted"),
    ("no manifest", lambda members: members.pop(MANIFEST), False, BadInput, "no walkabout backup"),
    ("a manifest that is no JSON", lambda members: members.update({MANIFEST: b"{"}), False, BadInput, "manifest"),
    ("another zip's manifest", told_in_manifest(what="something"), True, BadInput, "no walkabout backup"),
    ("a newer form", told_in_manifest(form=99), True, BadInput, "newer walkabout"),
    ("a newer schema", told_in_manifest(schema=len(STEPS) + 1), True, SchemaTooNew, "newer walkabout"),
    ("a wrong schema", told_in_manifest(schema=1), True, BadInput, "another one"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("edit", "digests", "kind", "says"), [row[1:] for row in BAD], ids=[row[0] for row in BAD]
)
def test_a_damaged_or_foreign_zip_writes_nothing(
    backup: Path, tmp_path: Path, edit: Edit, digests: bool, kind: type[WalkaboutError], says: str
) -> None:
    close_database()
    bad = rewritten(backup, tmp_path / "bad.zip", edit, digests=digests)
    with pytest.raises(kind, match=says):
        restore(bad, tmp_path / "again")
    assert not list((tmp_path / "again").iterdir() if (tmp_path / "again").exists() else [])
    with pytest.raises(kind, match=says):
        verified(bad, str(bad))
    assert not list(tmp_path.rglob("evil*"))


def test_a_sound_zip_passes_the_same_road(backup: Path, tmp_path: Path) -> None:
    """So that the cases above fail for their own fault and not for the way in which they are made."""
    again = rewritten(backup, tmp_path / "again.zip", lambda members: None)
    assert restore(again, tmp_path / "again") == verified(backup, "yard.zip")


@pytest.mark.parametrize("part", range(1, 40))
def test_a_zip_cut_short_or_flipped_anywhere_is_found_out(backup: Path, tmp_path: Path, part: int) -> None:
    close_database()
    whole = backup.read_bytes()
    place = len(whole) * part // 40
    cut = tmp_path / "cut.zip"
    cut.write_bytes(whole[:place])
    with pytest.raises(BadInput, match=r"damaged|no walkabout backup"):
        restore(cut, tmp_path / "again")
    cut.write_bytes(whole[:place] + bytes([whole[place] ^ 0x55]) + whole[place + 1 :])
    try:
        restore(cut, tmp_path / "flipped")
    except BadInput:
        assert not list((tmp_path / "flipped").glob("*"))
    else:  # a byte that means nothing, such as a member's date: then all came back
        close_database()
        assert photo_files(tmp_path / "flipped") == photo_files(tmp_path / "yard")
        assert rows(tmp_path / "flipped" / FILE_NAME, "entry") == rows(tmp_path / "yard" / FILE_NAME, "entry")


def test_a_folder_that_holds_something_is_left_alone(backup: Path, held: Path, tmp_path: Path) -> None:
    before = yards.database_id()
    with pytest.raises(DataFolderError, match="is not empty"):
        restore(backup, held)
    assert yards.database_id() == before
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("dear")
    with pytest.raises(DataFolderError, match=r"not empty \(letter\.txt\)"):
        restore(backup, tmp_path / "mine")
    assert [path.name for path in (tmp_path / "mine").iterdir()] == ["letter.txt"]


def test_what_an_interrupted_restore_left_is_no_hindrance(backup: Path, tmp_path: Path) -> None:
    leftover = tmp_path / "again" / "unfinished"
    leftover.mkdir(parents=True)
    (leftover / FILE_NAME).write_bytes(b"half")
    restore(backup, tmp_path / "again")
    assert soundness.faults() == []
    assert {path.name for path in (tmp_path / "again").iterdir()} >= {FILE_NAME, "photos"}
    assert not leftover.exists()


def test_a_disk_that_takes_no_more_leaves_the_last_backup(
    held: Path, backup: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The device that is always full stands for the disk: its refusal comes from the system."""
    before = backup.read_bytes()
    full = os.open("/dev/full", os.O_RDWR)
    monkeypatch.setattr("walkabout.records.bundle.os.fdopen", lambda handle, mode: os_fdopen(full, mode))
    with pytest.raises(DiskFull, match=r"is full\. What is recorded is safe"):
        make_backup(held, backup, NOW)
    assert backup.read_bytes() == before
    assert [path.name for path in backup.parent.iterdir()] == ["yard.zip"]


@pytest.mark.parametrize("schema", range(1, len(STEPS)))
def test_a_backup_of_an_earlier_schema_opens(tmp_path: Path, schema: int) -> None:
    script = (FORMS / f"schema_{schema}.sql").read_text(encoding="utf-8")
    old = tmp_path / FILE_NAME
    with closing(sqlite3.connect(old)) as connection:
        connection.executescript(script)
    kept = rows(old, "entry")
    counts = {
        name: len(rows(old, name))
        for (name, kind) in _tables(old)
        if kind == "table" and not name.startswith("sqlite_")
    }
    content = old.read_bytes()
    manifest = {
        "what": "walkabout backup",
        "form": 1,
        "schema": schema,
        "made_at": "2026-11-25T03:00:00+00:00",
        "yard": "Long Meadow",
        "counts": counts,
        "members": {FILE_NAME: hashlib.sha256(content).hexdigest()},
    }
    path = tmp_path / "old.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(FILE_NAME, content)
        archive.writestr(MANIFEST, json.dumps(manifest))
    told = restore(path, tmp_path / "again")
    assert isinstance(told, Backup)
    assert told.schema == schema
    assert soundness.faults() == []
    apple, lemon = sorted(plants.plants(), key=lambda plant: plant.crop)
    assert [line.entry.kind for line in stories.story(apple.id, 10)] == ["harvest", "bloom"]
    assert [line.entry.kind for line in stories.story(lemon.id, 10)] == ["damage"]
    close_database()
    assert rows(tmp_path / "again" / FILE_NAME, "entry") == kept
    open_database(tmp_path / "again")
    make_backup(tmp_path / "again", tmp_path / "new.zip", NOW)


def _tables(path: Path) -> set[tuple[Any, ...]]:
    with closing(sqlite3.connect(path)) as connection:
        return set(connection.execute("SELECT name, type FROM sqlite_master"))
