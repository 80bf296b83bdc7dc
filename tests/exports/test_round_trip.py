"""What goes out comes in again as it was, from the JSON and from the tables alone, whatever the yard."""

from __future__ import annotations

import sqlite3
import tempfile
import zipfile
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.cast import NOW, PASSWORD
from tests.exports.yards_made import make_yard
from tests.photo_files import photo_files
from walkabout.exports.back import import_all, read_export
from walkabout.exports.out import export_pieces, write_export
from walkabout.exports.tables import FILES
from walkabout.records import models, people, soundness, stories, walk
from walkabout.records.bundle import placed_whole
from walkabout.records.database import FILE_NAME, close_database, open_database
from walkabout.records.plants import plants

# What differs by its nature: numbers of changes, keys, who is let in.
NOT_COMPARED = {"change", "setting", "session", "sign_in_link", "membership"}
COLUMNS_APART = {"yard": {"changed"}, "plant": {"changed"}, "person": {"password_hash"}, "entry": set()}


def held(folder: Path) -> dict[str, set[tuple[Any, ...]]]:
    """Every row of every table that is compared, read without the program."""
    found = {}
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        for model in models.MODELS:
            table = model._meta.table_name
            if table not in NOT_COMPARED:
                names = sorted(set(model._meta.columns) - COLUMNS_APART.get(table, set()))
                found[table] = set(connection.execute(f"SELECT {', '.join(names)} FROM {table}"))
    return found


def pages() -> Any:
    """What pages are made from."""
    every = plants()
    return (
        [(plant.id, plant.name, plant.code, plant.spot) for plant in every],
        [stories.story(plant.id, 50) for plant in every],
        sorted(walk.stands(), key=repr),
    )


def write(folder: Path, out: Path) -> None:
    with placed_whole(out) as file:
        for _ in write_export(file, folder, NOW):
            pass


def tables_alone(export: Path, out: Path) -> Path:
    """The export without yard.json, manifest and README, as a person might pack it again."""
    with zipfile.ZipFile(export) as archive, zipfile.ZipFile(out, "w") as packed:
        for name in archive.namelist():
            if name.endswith((".csv", ".jpg")):
                packed.writestr(name, archive.read(name))
    return out


# Databases in real files are made three times for each example, so there are fewer of them.
@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
@given(data=st.data())
def test_out_and_in_again_gives_the_same_records(data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        open_database(place / "yard", create=True)
        try:
            make_yard(place / "yard", data.draw)
            write(place / "yard", place / "yard.zip")
            shown = pages()
        finally:
            close_database()
        before, photos = held(place / "yard"), photo_files(place / "yard")
        assert before["entry_photo"] or not any("photos" in str(row) for row in before["entry"])
        for name in ("yard.zip", "tables.zip"):
            if name == "tables.zip":
                tables_alone(place / "yard.zip", place / name)
            export = read_export(place / name)
            again = place / f"from {name}"
            import_all(export, again, export.owners[0], PASSWORD)
            try:
                assert soundness.faults() == []
                assert pages() == shown
                assert [person.name for person in people.people()] == ["Odile"]
                assert people.check_password("Odile", PASSWORD) is not None
                # Others have no password until the owner adds them again, as the same person.
                assert people.check_password("Kofi", PASSWORD) is None
                kofi = people.add_person("Kofi", "another password")
                assert people.check_password("Kofi", "another password") == kofi
            finally:
                close_database()
            after = held(again)
            for table, rows in before.items():
                assert after[table] == rows, table
            assert photo_files(again) == photos


def test_the_streamed_zip_is_the_written_one(held_yard: Path, tmp_path: Path) -> None:
    pieces = list(export_pieces(held_yard, NOW))
    assert len(pieces) > 3, "it came in one piece"
    (tmp_path / "streamed.zip").write_bytes(b"".join(pieces))
    write(held_yard, tmp_path / "written.zip")
    contents = []
    for name in ("streamed.zip", "written.zip"):
        with zipfile.ZipFile(tmp_path / name) as archive:
            assert archive.testzip() is None
            contents.append({name: archive.read(name) for name in archive.namelist()})
    assert contents[0] == contents[1]
    assert set(FILES.values()) <= set(contents[0])


def test_nothing_that_lets_somebody_in_is_in_it(held_yard: Path, tmp_path: Path) -> None:
    write(held_yard, tmp_path / "yard.zip")
    with closing(sqlite3.connect(held_yard / FILE_NAME)) as connection:
        secrets = [
            value
            for query in (
                "SELECT password_hash FROM person",
                "SELECT token_hash FROM session",
                "SELECT token_hash FROM sign_in_link",
                "SELECT value FROM setting",
            )
            for (value,) in connection.execute(query)
        ]
    assert len(secrets) >= 6
    with zipfile.ZipFile(tmp_path / "yard.zip") as archive:
        for name in archive.namelist():
            content = archive.read(name)
            assert [secret for secret in secrets if secret.encode() in content] == [], name
            assert b"password_hash" not in content


@pytest.mark.parametrize("owners", [1, 2])
def test_who_owns_it_is_who_owned_it(held_yard: Path, tmp_path: Path, owners: int) -> None:
    if owners == 2:
        people.add_person("Ada", PASSWORD, "owner")
    write(held_yard, tmp_path / "yard.zip")
    export = read_export(tmp_path / "yard.zip")
    assert len(export.owners) == owners
    for owner in export.owners:
        import_all(export, tmp_path / owner.name, owner, PASSWORD)
        assert [(one.name, one.role) for one in people.people()] == [(owner.name, "owner")]
