"""The options table: what can be set from outside, with its default, its reader and its help."""

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import platformdirs

from walkabout.errors import SettingsError

BACKUPS_OFF = -1


def default_data_folder() -> Path:
    """The data folder that this platform suggests for the person who runs the program."""
    return Path(platformdirs.user_data_dir("walkabout", appauthor=False))


def _port(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 65535:
        raise ValueError("a port is a number from 1 to 65535")
    return int(text)


def _folder(text: str) -> Path:
    if not text.strip():
        raise ValueError("it is empty")
    return Path(text).expanduser()


def read_hour(text: str) -> int:
    """An hour of the day from 0 to 23, or BACKUPS_OFF for "off".

    Raises:
        ValueError: it is neither.
    """
    plain = text.strip().casefold()
    if plain == "off":
        return BACKUPS_OFF
    if not plain.isascii() or not plain.isdigit() or int(plain) > 23:
        raise ValueError("an hour is a number from 0 to 23, or off")
    return int(plain)


@dataclass(frozen=True, slots=True)
class Option:
    """One row of the options table."""

    name: str
    variable: str
    default: Callable[[], Any]
    read: Callable[[str], Any]
    help: str


OPTIONS: tuple[Option, ...] = (
    Option("data", "WALKABOUT_DATA", default_data_folder, _folder, "Folder with the database and photos."),
    Option("host", "WALKABOUT_HOST", lambda: "127.0.0.1", str, "Address to serve on."),
    Option("port", "WALKABOUT_PORT", lambda: 8480, _port, "Port to serve on."),
    Option(
        "backup_folder",
        "WALKABOUT_BACKUP_FOLDER",
        lambda: None,
        _folder,
        "Folder for backups, better on another disk.",
    ),
    Option(
        "backup_hour",
        "WALKABOUT_BACKUP_HOUR",
        lambda: 3,
        read_hour,
        "Hour of the daily backup, 0 to 23, or off.",
    ),
)


@dataclass(frozen=True, slots=True)
class Settings:
    """What the options table came to.

    Attributes:
        backup_folder: None for the one inside the data folder.
        backup_hour: in the yard's time; BACKUPS_OFF when backups are not made by the clock.
    """

    data: Path
    host: str
    port: int
    backup_folder: Path | None
    backup_hour: int


def load_settings(
    given: Mapping[str, Any] | None = None, environment: Mapping[str, str] | None = None
) -> Settings:
    """Settings from what was given (command options), else the environment, else the defaults.

    Args:
        given: values by option name, already read; None counts as not given.
        environment: variables to read; the process environment if None.

    Raises:
        SettingsError: a variable has an unusable value.
    """
    environment = os.environ if environment is None else environment
    given = given or {}
    values: dict[str, Any] = {}
    for option in OPTIONS:
        if given.get(option.name) is not None:
            values[option.name] = given[option.name]
        elif option.variable in environment:
            try:
                values[option.name] = option.read(environment[option.variable])
            except ValueError as error:
                raise SettingsError(
                    f"{option.variable} cannot be used: {error}. Change or unset it."
                ) from error
        else:
            values[option.name] = option.default()
    return Settings(**values)
