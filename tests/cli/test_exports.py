"""``walkabout export`` and ``walkabout import all``."""

from __future__ import annotations

import zipfile
from pathlib import Path

from tests.cli.conftest import Run, refused
from walkabout.records.database import FILE_NAME, close_database, open_database
from walkabout.records.people import add_person, check_password
from walkabout.records.plants import plants


def grown(run: Run, tmp_path: Path) -> None:
    (tmp_path / "plants.csv").write_text("name,crop\nGate fig,Fig\n=Apple,Apple\n", encoding="utf-8")
    assert run("import", "plants", "plants.csv", "--yes").exit_code == 0


def test_out_and_in_again(set_up: Path, run: Run, tmp_path: Path) -> None:
    grown(run, tmp_path)
    told = run("export", "yard.zip")
    assert told.exit_code == 0, told.output
    assert told.stdout == "All records of Long Meadow are in yard.zip. Its README.txt says what is what.\n"
    with zipfile.ZipFile(tmp_path / "yard.zip") as archive:
        assert b"'=Apple" in archive.read("plants.csv")
    again = tmp_path / "again"
    told = run("import", "all", "yard.zip", folder=again, stdin="three ripe pears\nthree ripe pears\n")
    assert told.exit_code == 0, told.output
    assert "Long Meadow is in" in told.stdout
    assert "(plants: 2, entries: 0, photos: 0)" in told.stdout
    checked = run("check", folder=again)
    assert (checked.exit_code, checked.stderr) == (0, "")
    open_database(set_up)
    before = {(plant.id, plant.name, plant.code) for plant in plants()}
    open_database(again)
    assert {(plant.id, plant.name, plant.code) for plant in plants()} == before
    assert check_password("Odile", "three ripe pears") is not None
    close_database()
    assert run("backup", "--out", "again.zip", folder=again).exit_code == 0


def test_what_cannot_be_done_is_one_line(set_up: Path, run: Run, tmp_path: Path) -> None:
    refused(run("export", "x.zip", folder=tmp_path / "none"), code=1, says="There is no yard in")
    refused(run("export", str(tmp_path)), code=2, says="is a folder. Name a file in it")
    refused(run("export", "usb/x.zip"), code=2, says="is not there")
    assert run("export", "yard.zip").exit_code == 0
    new = tmp_path / "new"
    refused(run("import", "all", "yard.zip", "--password", "long enough"), code=1, says="is not empty")
    refused(run("import", "all", "yard.zip", folder=new), code=2, says="nobody to ask. Add --password")
    refused(run("import", "all", "yard.zip", "--password", "short", folder=new), code=2, says="too short")
    refused(run("import", "all", "no.zip", folder=new), code=2, says="There is no file no.zip")
    assert run("backup", "--out", "backup.zip").exit_code == 0
    refused(
        run("import", "all", "backup.zip", folder=new),
        code=2,
        says="does not belong in it (walkabout.sqlite3)",
    )
    refused(run("restore", "yard.zip", "--into", "new"), code=2, says="does not belong in it")
    assert not (new / FILE_NAME).exists()


def test_of_two_owners_one_is_chosen(set_up: Path, run: Run, tmp_path: Path) -> None:
    open_database(set_up)
    add_person("Ada Owner", "long enough", "owner")
    close_database()
    assert run("export", "yard.zip").exit_code == 0
    wanted = ("import", "all", "yard.zip", "--password", "long enough")
    refused(
        run(*wanted, folder=tmp_path / "new"), code=2, says="Choose who is to own it here with --owner NAME"
    )
    refused(run(*wanted, "--owner", "Bob", folder=tmp_path / "new"), code=2, says="is owned by")
    assert run(*wanted, "--owner", "ada owner", folder=tmp_path / "new").exit_code == 0
