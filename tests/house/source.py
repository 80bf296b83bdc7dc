"""The project's own files, as the house tests read them."""

from __future__ import annotations

import ast
import functools
import subprocess
from collections.abc import Iterator
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parents[2]
PACKAGE = CHECKOUT / "walkabout"


@functools.cache
def kept_files() -> tuple[str, ...]:
    """The files that belong to the project: those git tracks, or, in an unpacked archive, all but leftovers."""
    asked = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
    )
    if asked.returncode == 0:
        names = (name for name in asked.stdout.split("\0") if name)
    else:
        names = (
            path.relative_to(CHECKOUT).as_posix()
            for path in CHECKOUT.rglob("*")
            if "__pycache__" not in path.parts and ".venv" not in path.parts
        )
    return tuple(sorted(name for name in names if (CHECKOUT / name).is_file()))


def kept_under(folder: str, *suffixes: str) -> list[Path]:
    """The project's files under a top-level folder, with one of the suffixes if any is given."""
    return [
        CHECKOUT / name
        for name in kept_files()
        if name.startswith(folder + "/") and (not suffixes or Path(name).suffix in suffixes)
    ]


def modules() -> Iterator[tuple[str, ast.Module]]:
    """Every module of the package: its path from the checkout, and its syntax tree."""
    for path in kept_under("walkabout", ".py"):
        yield path.relative_to(CHECKOUT).as_posix(), ast.parse(path.read_text(encoding="utf-8"))


def imported(tree: ast.Module) -> set[str]:
    """The top names of all that a module imports, wherever in it."""
    names: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            names.add(node.module.partition(".")[0])
    return names
