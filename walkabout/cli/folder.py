"""Which data folder a command works on."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from walkabout.config import Settings, load_settings
from walkabout.records.database import open_database

Command = TypeVar("Command", bound=Callable[..., Any])


def data_option(command: Command) -> Command:
    """The option --data, before the command's name or after it."""
    return click.option(
        "--data",
        type=click.Path(path_type=Path),
        help="Folder with the yard's records; else WALKABOUT_DATA, else this platform's usual folder.",
    )(command)


def settings(data: Path | None, **given: Any) -> Settings:
    """The options that hold for the running command.

    Args:
        data: what stood after the command's name; else what stood before it counts.
        given: other options by name; None is not given.

    Raises:
        SettingsError: an environment variable has an unusable value.
    """
    before = click.get_current_context().find_root().params.get("data")
    return load_settings({"data": data or before, **given})


def open_yard(data: Path | None) -> Path:
    """Open the database of the data folder; gives the folder.

    Raises:
        YardMissing: no yard has been set up there.
        DataFolderError: it cannot be used.
    """
    folder = settings(data).data
    open_database(folder)
    return folder
