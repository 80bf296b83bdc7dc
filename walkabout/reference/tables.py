"""Reading the tables: each file once, when first asked for; a bad row fails with its file and its place."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any

from walkabout.errors import WalkaboutError

Row = Mapping[str, Any]
# How far a value was checked; the marks travel with the values.
BASES = ("read", "secondary", "mixed", "memory", "practice", "judgement")


class TableError(WalkaboutError):
    """A row of a reference table cannot be used; the message names the file, the row and the fault."""


@cache
def table(name: str) -> Row:
    """The whole table `name`.toml of this folder.

    Raises:
        TableError: the file is absent or is no TOML.
    """
    file = resources.files(__package__).joinpath(f"{name}.toml")
    try:
        return tomllib.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise TableError(f"{name}.toml: not in the reference folder; install the program again") from None
    except ValueError as fault:
        raise TableError(f"{name}.toml: not readable as TOML: {fault}") from None


def text(row: Row, key: str, where: str) -> str:
    """The non-empty text at `key`. Raises TableError, naming `where`, when it is anything else."""
    value = row.get(key)
    if not isinstance(value, str) or not value.strip():
        raise TableError(f"{where}: {key} must be a text, found {value!r}")
    return value


def whole(row: Row, key: str, where: str, low: int, high: int) -> int:
    """The whole number at `key`, within low to high. Raises TableError otherwise."""
    value = row.get(key)
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise TableError(f"{where}: {key} must be a whole number from {low} to {high}, found {value!r}")
    return value


def flag(row: Row, key: str, where: str) -> bool:
    """The true or false at `key`. Raises TableError otherwise."""
    value = row.get(key)
    if not isinstance(value, bool):
        raise TableError(f"{where}: {key} must be true or false, found {value!r}")
    return value


def texts(row: Row, key: str, where: str) -> tuple[str, ...]:
    """The list of non-empty texts at `key`; the list itself may not be empty. Raises TableError otherwise."""
    value = row.get(key)
    if not isinstance(value, list) or not value or not all(isinstance(one, str) and one for one in value):
        raise TableError(f"{where}: {key} must be a list of texts, found {value!r}")
    return tuple(value)


def one_of(row: Row, key: str, where: str, allowed: tuple[str, ...]) -> str:
    """The text at `key`, one of `allowed`. Raises TableError otherwise."""
    value = text(row, key, where)
    if value not in allowed:
        raise TableError(f"{where}: {key} must be one of {', '.join(allowed)}, found {value!r}")
    return value
