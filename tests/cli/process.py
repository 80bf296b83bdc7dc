"""The command as a process, where a test needs the real thing."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]


def command(*arguments: str | Path, under: Sequence[str] = ()) -> list[str]:
    """The words that run the command, perhaps under another program."""
    return [*under, sys.executable, "-m", "walkabout", *map(str, arguments)]


def environment(**changes: str) -> dict[str, str]:
    """The environment of a person who has set nothing, in which this checkout is found."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("WALKABOUT_")}
    return {**kept, "PYTHONPATH": str(ROOT), "PYTHONUNBUFFERED": "1", "PYTHONIOENCODING": "utf-8", **changes}


def run_process(
    *arguments: str | Path, under: Sequence[str] = (), timeout: float = 60, **options: Any
) -> subprocess.CompletedProcess[str]:
    """Run the command to its end."""
    return subprocess.run(
        command(*arguments, under=under),
        capture_output=True,
        text=True,
        encoding="utf-8",
        stdin=subprocess.DEVNULL,
        env=environment(),
        timeout=timeout,
        check=False,
        **options,
    )


def says_one_line(ended: subprocess.CompletedProcess[str], *, code: int, says: str) -> None:
    """The process ended with one line on stderr that says so."""
    assert ended.returncode == code, ended.stdout + ended.stderr
    assert ended.stderr.count("\n") == 1, ended.stderr
    assert ended.stderr.startswith("walkabout: ")
    assert says in ended.stderr
