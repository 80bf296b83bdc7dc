"""The command, run as a person runs it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from walkabout.cli import main
from walkabout.records.database import close_database

Run = Callable[..., Result]
INIT = (
    "init", "--name", "Long Meadow", "--latitude", "42.6", "--longitude", "-76.4", "--timezone", "America/New_York",
    "--units", "us", "--last-frost", "about 05-12", "--first-frost", "10-06", "--origin", "http://localhost:8480",
    "--owner", "Odile", "--password", "three ripe quinces",
)  # fmt: skip


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """Where the data folder of a test is to be; it is not there yet."""
    return tmp_path / "data"


@pytest.fixture
def run(data: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs the command in a folder of its own: ``run("check")``; the result holds output, stderr and exit code."""
    monkeypatch.chdir(tmp_path)
    runner = CliRunner()

    def running(*arguments: str, folder: Path = data, stdin: str | None = None) -> Result:
        try:
            return runner.invoke(main, ["--data", str(folder), *arguments], input=stdin)
        finally:
            close_database()  # as the end of a process does

    return running


@pytest.fixture
def set_up(run: Run, data: Path) -> Path:
    """The data folder with the invented yard in it, set up by the command."""
    result = run(*INIT)
    assert result.exit_code == 0, result.output
    return data


def refused(result: Result, *, code: int, says: str) -> None:
    """The command ended with one line that says so, with no traceback."""
    assert result.exit_code == code, result.output
    assert result.stderr.count("\n") == 1, result.stderr
    assert result.stderr.startswith("walkabout: ")
    assert says in result.stderr, result.stderr
