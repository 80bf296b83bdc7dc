"""What the machine can do to a command: each time one line that says what to do, and nothing kept by halves."""

from __future__ import annotations

import os
import resource
import shutil
import signal
import sqlite3
import subprocess
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.conftest import INIT, Run, refused
from tests.cli.process import command, environment, run_process, says_one_line
from walkabout.records.database import FILE_NAME, PRAGMAS, close_database, open_database
from walkabout.records.entries import count_entries
from walkabout.records.plants import count_plants

Commands = Callable[..., "Ended"]


class Ended:
    """How a command ended: its exit code and what it wrote to stderr."""

    def __init__(self, code: int, stderr: str) -> None:
        self.code, self.stderr = code, stderr


def orchard(path: Path, plants: int) -> None:
    """A list of so many plants."""
    path.write_text(
        "name,crop\n" + "".join(f"Tree {number},Apple\n" for number in range(plants)), encoding="utf-8"
    )


@pytest.fixture
def small_disk(tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[Path, Commands]]:
    """A folder on a disk of one megabyte, and the command that runs on it.

    Who may not mount one has SQLite itself refuse to grow above one megabyte: it then fails with the same error.
    """
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(disk)]
    if shutil.which("mount") and subprocess.run(mount, capture_output=True, check=False).returncode == 0:

        def commanded(*arguments: str) -> Ended:
            ended = run_process("--data", disk / "yard", *arguments, cwd=tmp_path)
            return Ended(ended.returncode, ended.stderr)

        yield disk / "yard", commanded
        close_database()
        subprocess.run(["umount", str(disk)], check=True)
    else:
        monkeypatch.setitem(PRAGMAS, "max_page_count", 256)

        def commanded(*arguments: str) -> Ended:
            result = run(*arguments, folder=disk / "yard")
            return Ended(result.exit_code, result.stderr)

        yield disk / "yard", commanded


def test_full_disk_while_importing(small_disk: tuple[Path, Commands], tmp_path: Path) -> None:
    data, commanded = small_disk
    assert commanded(*INIT).code == 0
    orchard(tmp_path / "few.csv", 5)
    assert commanded("import", "plants", "few.csv", "--yes").code == 0
    orchard(tmp_path / "many.csv", 4000)
    failed = commanded("import", "plants", "many.csv", "--yes", "--skip-known")
    assert failed.code == 1
    assert failed.stderr == (
        "walkabout: The disk is full. What is recorded is safe; the last step was not kept. "
        "Free some space and repeat it.\n"
    )
    open_database(data)
    assert count_plants() == 5
    close_database()
    assert commanded("check").code == 0


def test_full_disk_while_setting_up(small_disk: tuple[Path, Commands], tmp_path: Path) -> None:
    data, commanded = small_disk
    data.mkdir()
    if os.path.ismount(data.parent):
        room = shutil.disk_usage(data.parent).free
        (data.parent / "filler").write_bytes(b"x" * (room - 40_000))
    else:
        PRAGMAS["max_page_count"] = 4
    failed = commanded(*INIT)
    assert failed.code == 1
    assert failed.stderr.count("\n") == 1
    assert failed.stderr.startswith("walkabout: ")
    assert "full" in failed.stderr
    if os.path.ismount(data.parent):
        (data.parent / "filler").unlink()
    else:
        PRAGMAS["max_page_count"] = 256
    assert commanded(*INIT).code == 0
    assert commanded("check").code == 0


def test_full_disk_while_printing_keeps_the_old_sheet(run: Run, set_up: Path, tmp_path: Path) -> None:
    orchard(tmp_path / "many.csv", 400)
    assert run("import", "plants", "many.csv", "--yes").exit_code == 0
    old = tmp_path / "tags.pdf"
    old.write_bytes(b"the old sheet")

    def little_room() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000))

    failed = run_process("tags", "--data", set_up, "--all", "--out", old, preexec_fn=little_room)
    says_one_line(failed, code=1, says="The disk is full")
    assert old.read_bytes() == b"the old sheet"
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


@pytest.fixture
def powerless() -> list[str]:
    """Words before a command that take root's power to write everywhere; nothing for who does not have it."""
    if os.geteuid() != 0:
        return []
    return ["setpriv", "--bounding-set", "-dac_override,-dac_read_search"]


@pytest.fixture
def read_only(set_up: Path) -> Iterator[Path]:
    """A data folder with a yard in it that may not be written."""
    close_database()
    for path in (*set_up.iterdir(), set_up):
        path.chmod(0o555 if path.is_dir() else 0o444)
    yield set_up
    set_up.chmod(0o755)


@pytest.mark.parametrize(
    "words", [("import", "plants", "few.csv", "--yes"), ("serve", "--port", "8480"), ("check",)]
)
def test_folder_that_may_not_be_written(
    read_only: Path, powerless: list[str], tmp_path: Path, words: tuple[str, ...]
) -> None:
    orchard(tmp_path / "few.csv", 2)
    before = (read_only / FILE_NAME).read_bytes()
    failed = run_process("--data", read_only, *words, under=powerless, cwd=tmp_path)
    says_one_line(failed, code=1, says="Give this user the right")
    assert (read_only / FILE_NAME).read_bytes() == before


def test_folder_that_cannot_be_made(run: Run, tmp_path: Path, powerless: list[str]) -> None:
    (tmp_path / "file").write_text("no folder")
    refused(run(*INIT, folder=tmp_path / "file" / "yard"), code=1, says="Choose another with --data")
    closed = tmp_path / "closed"
    closed.mkdir(mode=0o555)
    failed = run_process("--data", closed / "yard", *INIT, under=powerless)
    says_one_line(failed, code=1, says="cannot be made")
    assert list(closed.iterdir()) == []


def test_sheet_that_cannot_be_written(run: Run, set_up: Path, tmp_path: Path) -> None:
    orchard(tmp_path / "few.csv", 2)
    assert run("import", "plants", "few.csv", "--yes").exit_code == 0
    result = run("tags", "--all", "--out", "nowhere/tags.pdf")
    assert result.exit_code == 1
    assert "No such file or directory" in result.stderr
    assert result.stderr.count("\n") == 1


@pytest.mark.parametrize(
    "words",
    [INIT, ("serve",), ("check",), ("import", "plants", "few.csv"), ("tags", "--all", "--out", "t.pdf")],
)
def test_database_of_a_newer_version(run: Run, set_up: Path, tmp_path: Path, words: tuple[str, ...]) -> None:
    close_database()
    with closing(sqlite3.connect(set_up / FILE_NAME)) as connection:
        connection.execute("PRAGMA user_version = 999")
    orchard(tmp_path / "few.csv", 2)
    before = (set_up / FILE_NAME).read_bytes()
    refused(run(*words), code=1, says="was written by a newer walkabout (schema 999")
    assert (set_up / FILE_NAME).read_bytes() == before
    assert not (tmp_path / "t.pdf").exists()


@pytest.mark.parametrize(
    "content", [b"this is no database, whatever its name says" * 50, b"SQLite format 3\0" + b"\xff" * 5000]
)
def test_file_that_is_no_database(run: Run, data: Path, content: bytes) -> None:
    data.mkdir()
    (data / FILE_NAME).write_bytes(content)
    refused(run("check"), code=1, says="damaged or not a database")
    assert (data / FILE_NAME).read_bytes() == content


def test_database_of_another_program(run: Run, data: Path) -> None:
    data.mkdir()
    with closing(sqlite3.connect(data / FILE_NAME)) as connection:
        connection.execute("CREATE TABLE theirs (a)")
    refused(run("check"), code=1, says="belongs to another program")


def test_database_that_another_program_writes(run: Run, set_up: Path, tmp_path: Path) -> None:
    close_database()
    orchard(tmp_path / "few.csv", 2)
    with closing(sqlite3.connect(set_up / FILE_NAME, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        refused(run("import", "plants", "few.csv", "--yes"), code=1, says="another program holds it")
    open_database(set_up)
    assert (count_plants(), count_entries()) == (0, 0)


def test_faults_are_told_one_a_line(run: Run, set_up: Path, tmp_path: Path) -> None:
    orchard(tmp_path / "few.csv", 1)
    assert run("import", "plants", "few.csv", "--yes").exit_code == 0
    (tmp_path / "picked.csv").write_text("plant,date,count\nTree 0,2024-01-02,5\n", encoding="utf-8")
    assert run("import", "entries", "picked.csv", "--yes").exit_code == 0
    close_database()
    assert run("check").exit_code == 0
    close_database()
    with closing(sqlite3.connect(set_up / FILE_NAME)) as connection:
        connection.execute("DELETE FROM standing")
        connection.commit()
    result = run("check")
    assert result.exit_code == 1
    assert result.stdout.startswith("plant ")
    assert result.stdout.count("\n") == 1


def test_unknown_words(run: Run) -> None:
    refused(run("plough"), code=2, says="No such command 'plough'. Try: walkabout --help")
    refused(run("check", "--deep"), code=2, says="No such option")
    refused(run("import", "plants"), code=2, says="Missing argument 'FILE'")
    refused(run("tags", "--all"), code=2, says="Missing option '--out'")


def test_which_tags(run: Run, set_up: Path) -> None:
    refused(run("tags", "--out", "t.pdf"), code=2, says="add --all")
    refused(run("tags", "--all", "--out", "t.pdf"), code=2, says="There are no tags to print")


def test_ctrl_c_at_a_question(data: Path) -> None:
    asking = subprocess.Popen(
        command("--data", data, "init"),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=environment(),
    )
    assert asking.stdout is not None
    assert asking.stdout.read(len("Name of the yard")) == "Name of the yard"
    asking.send_signal(signal.SIGINT)
    _, stderr = asking.communicate(timeout=30)
    assert asking.returncode == 1
    assert stderr.strip() == "walkabout: Stopped. Nothing more was done."
    assert not data.exists()
