"""``walkabout backup`` and ``walkabout restore``: one line each, and an exit code that a script can trust."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.cli.conftest import INIT, Run, refused
from tests.cli.process import command, environment, run_process, says_one_line
from tests.photo_files import lay_photo
from walkabout.records.backup_log import read_log
from walkabout.records.database import FILE_NAME, close_database, open_database
from walkabout.records.people import people


@pytest.fixture
def planted(set_up: Path, run: Run, tmp_path: Path) -> Path:
    """The data folder with three plants."""
    (tmp_path / "plants.csv").write_text(
        "name,crop\nGate fig,Fig\nApple,Apple\nPear,Pear\n", encoding="utf-8"
    )
    assert run("import", "plants", "plants.csv", "--yes").exit_code == 0
    return set_up


def test_a_backup_is_made_and_restored_and_both_are_sound(planted: Path, run: Run, tmp_path: Path) -> None:
    made = run("backup", "--out", "yard.zip")
    assert made.exit_code == 0, made.output
    assert made.stdout.startswith("Long Meadow is backed up in yard.zip (plants: 3, entries: 0, photos: 0)")
    assert made.stdout.count("\n") == 1
    assert "keep a copy elsewhere too" in made.stdout
    restored = run("restore", "yard.zip", "--into", "again")
    assert restored.exit_code == 0, restored.output
    assert restored.stdout.startswith("Long Meadow is restored in again as it was at ")
    assert restored.stdout.count("\n") == 1
    for folder in (planted, tmp_path / "again"):
        checked = run("check", folder=folder)
        assert (checked.exit_code, checked.stderr) == (0, "")
    # The restored yard is one to go on with.
    assert run("backup", folder=tmp_path / "again").exit_code == 0


def test_without_out_it_goes_to_the_folder_of_the_backups(
    planted: Path, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert run("backup").exit_code == 0
    (path,) = (planted / "backups").iterdir()
    log = read_log(planted)
    assert log.good is not None
    assert log.good.path == str(path)
    (tmp_path / "usb").mkdir()
    monkeypatch.setenv("WALKABOUT_BACKUP_FOLDER", str(tmp_path / "usb"))
    assert run("backup").exit_code == 0
    assert len(list((tmp_path / "usb").iterdir())) == 1


def test_into_the_data_folder_when_it_is_empty(planted: Path, run: Run, tmp_path: Path) -> None:
    run("backup", "--out", "yard.zip")
    refused(run("restore", "yard.zip"), code=1, says="is not empty")
    assert run("restore", "yard.zip", folder=tmp_path / "new").exit_code == 0
    assert (tmp_path / "new" / FILE_NAME).is_file()


def test_what_cannot_be_done_is_one_line(planted: Path, run: Run, tmp_path: Path) -> None:
    refused(run("backup", folder=tmp_path / "none"), code=1, says="There is no yard in")
    refused(run("backup", "--out", str(tmp_path)), code=2, says="is a folder. Name a file in it")
    refused(run("backup", "--out", "usb/yard.zip"), code=2, says="is not there. Plug its disk in")
    refused(run("restore", "nothing.zip", "--into", "again"), code=2, says="There is no file nothing.zip")
    refused(run("restore", str(tmp_path), "--into", "again"), code=2, says="is a folder")
    (tmp_path / "letter.zip").write_text("Dear")
    refused(run("restore", "letter.zip", "--into", "again"), code=2, says="no zip file")
    with zipfile.ZipFile(tmp_path / "slip.zip", "w") as archive:
        archive.writestr("../../slip.txt", "out")
    refused(
        run("restore", "slip.zip", "--into", "again"), code=2, says="does not belong in it (../../slip.txt)"
    )
    assert not list(tmp_path.glob("again/*"))
    assert not list(tmp_path.parent.rglob("slip.txt"))


def test_a_wrong_hour_is_told(set_up: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    refused(run("serve", "--backup-hour", "24"), code=2, says="an hour is a number from 0 to 23, or off")
    monkeypatch.setenv("WALKABOUT_BACKUP_HOUR", "noon")
    refused(run("serve"), code=2, says="WALKABOUT_BACKUP_HOUR cannot be used")


def test_a_full_disk_is_one_line_and_the_folder_stays_as_it_was(planted: Path, tmp_path: Path) -> None:
    """A limit on the size of files, which the system holds, stands for the disk (POSIX, setrlimit, RLIMIT_FSIZE)."""
    limited = (
        "import resource, signal, sys; signal.signal(signal.SIGXFSZ, signal.SIG_IGN);"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (400_000, 400_000));"
        "from walkabout.cli import main; sys.argv = ['walkabout', *sys.argv[1:]]; main()"
    )
    open_database(planted)
    lay_photo(planted, people()[0], os.urandom(600_000))
    close_database()
    (tmp_path / "usb").mkdir()
    ended = subprocess.run(
        [sys.executable, "-c", limited, "--data", str(planted), "backup", "--out", "usb/yard.zip"],
        cwd=tmp_path,
        env=environment(),
        capture_output=True,
        text=True,
        check=False,
    )
    says_one_line(ended, code=1, says="What is recorded is safe")
    assert list((tmp_path / "usb").iterdir()) == []


def test_a_restore_that_is_killed_leaves_a_yard_or_none(planted: Path, run: Run, tmp_path: Path) -> None:
    run("backup", "--out", "yard.zip")
    for turn in range(6):
        into = tmp_path / f"again-{turn}"
        process = subprocess.Popen(
            command("restore", "yard.zip", "--into", into),
            cwd=tmp_path,
            env=environment(),
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        while process.poll() is None and not list(into.glob("unfinished/*" if turn % 2 else "unfinished")):
            pass
        process.kill()
        process.wait()
        if (into / FILE_NAME).exists():
            assert run("check", folder=into).exit_code == 0
        else:
            again = run_process("restore", "yard.zip", "--into", into, cwd=tmp_path)
            assert again.returncode == 0, again.stderr
            assert run("check", folder=into).exit_code == 0


def test_the_help_says_what_it_does(run: Run) -> None:
    assert INIT[0] == "init"
    told = run("backup", "--help").output + run("restore", "--help").output
    assert "also while the yard is served" in " ".join(told.split())
    assert "Every phone must sign in anew" in " ".join(told.split())
