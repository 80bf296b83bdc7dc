"""The same named commands as by hand: ruff, mypy, and the size that a module may have."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.house.source import CHECKOUT, kept_files, kept_under

LINES_AT_MOST = 450


@pytest.mark.parametrize(
    "command",
    [["ruff", "check", "--no-cache"], ["ruff", "format", "--check", "--no-cache"], ["mypy"]],
    ids=["ruff check", "ruff format", "mypy"],
)
def test_the_checkers_are_content(command: list[str]) -> None:
    told = subprocess.run([sys.executable, "-m", *command], cwd=CHECKOUT, capture_output=True, text=True)
    assert told.returncode == 0, told.stdout + told.stderr


def test_no_module_is_too_long() -> None:
    lengths = {
        path.relative_to(CHECKOUT).as_posix(): len(path.read_text(encoding="utf-8").splitlines())
        for folder, suffixes in (("walkabout", (".py",)), ("static", (".js", ".css")), ("tests", (".py",)))
        for path in kept_under(folder, *suffixes)
        if "vendor" not in path.parts
    }
    assert {name: length for name, length in lengths.items() if length > LINES_AT_MOST} == {}


def test_no_drawer_for_odds_and_ends() -> None:
    drawers = {"utils", "util", "helpers", "helper", "common", "misc"}
    # A helper is also a person of the cast: somebody with a pass; templates may speak of them.
    assert [path for path in kept_under("walkabout", ".py") if path.stem in drawers] == []


def test_the_top_level_holds_what_it_should() -> None:
    """README.md, DEVELOPERS.md, pyproject.toml, four folders, and dotfiles."""
    tops = {name.partition("/")[0] for name in kept_files()}
    assert {name for name in tops if not name.startswith(".")} == {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "walkabout",
        "static",
        "templates",
        "labels",
        "tests",
    }
