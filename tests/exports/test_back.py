"""What is no export, or a spoilt one, is told, and nothing is written."""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.cast import NOW, PASSWORD
from walkabout.errors import BadInput, DataFolderError
from walkabout.exports.back import import_all, read_export
from walkabout.exports.out import export_pieces
from walkabout.records import people, soundness
from walkabout.records.bundle import MANIFEST

Members = dict[str, bytes]
Edit = Callable[[Members], None]


@pytest.fixture
def export(held_yard: Path, tmp_path: Path) -> Path:
    """The export of a yard with something of everything."""
    path = tmp_path / "yard.zip"
    path.write_bytes(b"".join(export_pieces(held_yard, NOW)))
    return path


def rewritten(source: Path, edit: Edit, *, digests: bool = True) -> Path:
    """The export with other members; with `digests` the manifest tells theirs truly."""
    with zipfile.ZipFile(source) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    edit(members)
    if digests and MANIFEST in members:
        manifest = json.loads(members[MANIFEST])
        manifest["members"] = {
            name: hashlib.sha256(content).hexdigest() for name, content in members.items() if name != MANIFEST
        }
        members[MANIFEST] = json.dumps(manifest).encode()
    target = source.with_name("bad.zip")
    with zipfile.ZipFile(target, "w") as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return target


def attempt(path: Path, into: Path) -> None:
    found = read_export(path)
    import_all(found, into, found.owners[0], PASSWORD)


def records(change: Callable[[dict[str, Any]], None]) -> Edit:
    """Changes the records of yard.json."""

    def edit(members: Members) -> None:
        held = json.loads(members["yard.json"])
        change(held["records"])
        members["yard.json"] = json.dumps(held).encode()

    return edit


def value(table: str, name: str, new: Any) -> Edit:
    """Gives the first record of a table another value."""
    return records(lambda held: held[table][0].update({name: new}))


def photo(members: Members) -> str:
    return next(name for name in members if name.startswith("photos/"))


def without_manifest(members: Members) -> None:
    del members[MANIFEST], members["yard.json"], members["tasks.csv"]


BAD: list[tuple[str, Edit, bool, str]] = [
    ("a path that leads out", lambda members: members.update({"../x.csv": b""}), True, "does not belong"),
    ("a program", lambda members: members.update({"setup.exe": b""}), True, "does not belong"),
    ("a backup's manifest", lambda members: members.update({MANIFEST: b'{"what":"walkabout backup","members":{}}'}), True, "is no walkabout export"),
    ("changed bytes", lambda members: members.update({"plants.csv": b"x"}), False, "not as it was written"),
    ("a file less", lambda members: members.pop("plants.csv"), False, "missing or was added"),
    ("no yard.json", lambda members: members.pop("yard.json"), True, "yard.json is missing"),
    ("no JSON", lambda members: members.update({"yard.json": b"{"}), True, "cannot be read"),
    ("other JSON", lambda members: members.update({"yard.json": b"[]"}), True, "list of tables"),
    ("deep JSON", lambda members: members.update({"yard.json": b"[" * 200_000}), True, "cannot be read"),
    ("tables that lack one", without_manifest, False, "tasks.csv is not in it"),
    ("a field more", value("plant", "colour", "red"), True, "plant 1: the record"),
    ("a table less", records(lambda held: held.pop("task")), True, "list of tables"),
    ("a number for a text", value("plant", "name", 3), True, "plant 1: name"),
    ("a text for a number", value("yard", "latitude", "north"), True, "yard 1: latitude"),
    ("a number that is none", value("yard", "latitude", float("nan")), True, "yard 1: latitude"),
    ("a day that is none", value("entry", "seen_on", "2026-02-30"), True, "entry 1: seen_on"),
    ("a moment without offset", value("entry", "made_at", "2026-02-03T10:00:00"), True, "entry 1: made_at"),
    ("details that are none", value("entry", "details", ["x"]), True, "entry 1: details"),
    ("half a sign", value("plant", "name", "\ud800"), True, "plant 1: name"),
    ("half a sign in details", value("entry", "details", {"words": "\ud800"}), True, "entry 1: details"),
    ("a plant raised from itself", records(lambda held: held["plant"][0].update(raised_from=held["plant"][0]["id"])), True, "leads back to itself"),
    ("an entry of no plant", value("entry", "plant_id", "x"), True, "do not go together"),
    ("an unknown state", value("plant", "state", "lost"), True, "do not go together"),
    ("an entry twice", records(lambda held: held["entry"].append(held["entry"][0])), True, "do not go together"),
    ("two yards", records(lambda held: held["yard"].append({**held["yard"][0], "id": "b"})), True, "holds 2 yards"),
    ("no yard", records(lambda held: held.update(yard=[])), True, "holds 0 yards"),
    ("no owner", records(lambda held: [one.update(role="keeper") for one in held["membership"]]), True, "nobody owns"),
    ("no address", records(lambda held: held.update(origin=[])), True, "no address"),
    ("another photo", lambda members: members.update({photo(members): b"x"}), True, "is not the photo"),
    ("a photo of nobody", records(lambda held: held.update(photo=[])), True, "of no photo that its records name"),
]  # fmt: skip


@pytest.mark.parametrize(("edit", "digests", "says"), [row[1:] for row in BAD], ids=[row[0] for row in BAD])
def test_a_spoilt_or_foreign_zip_writes_nothing(
    export: Path, tmp_path: Path, edit: Edit, digests: bool, says: str
) -> None:
    with pytest.raises(BadInput, match=says) as told:
        attempt(rewritten(export, edit, digests=digests), tmp_path / "again")
    assert "\n" not in told.value.message
    assert "Nothing was written" in told.value.message
    assert not list(tmp_path.glob("again/*"))


def test_a_sound_zip_passes_the_same_road(export: Path, tmp_path: Path) -> None:
    attempt(rewritten(export, lambda members: None), tmp_path / "again")
    assert soundness.faults() == []


@pytest.mark.parametrize("part", range(1, 20))
def test_a_zip_cut_short_is_found_out(export: Path, tmp_path: Path, part: int) -> None:
    whole = export.read_bytes()
    export.write_bytes(whole[: len(whole) * part // 20])
    with pytest.raises(BadInput, match="is damaged"):
        attempt(export, tmp_path / "again")
    assert not list(tmp_path.glob("again/*"))


def test_a_photo_that_was_lost_before_is_told_and_hinders_nothing(held_yard: Path, tmp_path: Path) -> None:
    (lost, *_) = held_yard.glob("photos/*/*.thumb.jpg")
    lost.unlink()
    path = tmp_path / "yard.zip"
    path.write_bytes(b"".join(export_pieces(held_yard, NOW)))
    found = read_export(path)
    assert found.missing == (lost.relative_to(held_yard).as_posix(),)
    import_all(found, tmp_path / "again", found.owners[0], PASSWORD)
    assert [fault for fault in soundness.faults() if not fault.startswith(found.missing)] == []


def test_a_yard_that_is_there_stays_and_a_short_password_is_told(
    export: Path, held_yard: Path, tmp_path: Path
) -> None:
    found = read_export(export)
    with pytest.raises(DataFolderError, match="is not empty"):
        import_all(found, held_yard, found.owners[0], PASSWORD)
    with pytest.raises(BadInput, match="too short"):
        import_all(found, tmp_path / "again", found.owners[0], "short")
    assert not list(tmp_path.glob("again/*"))
    import_all(found, tmp_path / "again", found.owners[0], PASSWORD)
    assert people.check_password("Odile", PASSWORD) is not None
