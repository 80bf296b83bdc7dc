"""The test command brings what is missing, or names it and ends with 1; it never goes on without.

What is replaced here lies outside: apt-get, the download of a browser, and the programs that are looked for.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

import tests.__main__ as command

PYTHON = Path(sys.executable)


@pytest.fixture
def ran(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What would have been run; nothing is."""
    lines: list[str] = []

    def run(*words: str | Path, quiet: bool = False) -> bool:
        lines.append(" ".join(str(word) for word in words))
        return True

    monkeypatch.setattr(command, "run", run)
    return lines


def test_what_is_here_is_not_installed_again(ran: list[str]) -> None:
    command.bring_browser(PYTHON)
    assert ran == []


def test_with_the_right_to_install_apt_brings_it(ran: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "apt_get", lambda: ("apt-get",))
    monkeypatch.setattr(command, "found", lambda _python, _what: "here" if ran else None)
    command.bring_browser(PYTHON)
    assert ran[0] == "apt-get update -qq"
    assert ran[1].endswith("chromium libatomic1 libzbar0 fonts-dejavu-core")


def test_without_it_playwright_brings_a_browser(ran: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "apt_get", lambda: None)
    monkeypatch.setattr(command, "found", lambda _python, what: "here" if ran or what != "chromium" else None)
    command.bring_browser(PYTHON)
    assert ran == [f"{PYTHON} -m playwright install chromium"]


def test_what_cannot_be_brought_is_named_and_nothing_is_run(
    ran: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(command, "apt_get", lambda: None)
    monkeypatch.setattr(command, "found", lambda _python, _what: None)
    monkeypatch.setattr(command, "environment", lambda: PYTHON)
    monkeypatch.setattr(command, "install_project", lambda _python: None)
    assert command.main([]) == 1
    told = capsys.readouterr().err
    for name in ("chromium", "libzbar0", "libatomic1"):
        assert name in told


@pytest.mark.parametrize(
    ("words", "ends_with"),
    [
        ([], ["tests"]),
        (["-k", "tag"], ["tests", "-k", "tag"]),
        (["tests/records", "-x"], ["tests/records", "-x"]),
        (["--full"], ["tests", "--full"]),
        (["--bench", "push"], ["-m", "tests.bench", "push"]),
    ],
)
def test_words_go_on_to_pytest(words: list[str], ends_with: list[str]) -> None:
    made = command.tests_command(PYTHON, words)
    assert made[-len(ends_with) :] == ends_with
