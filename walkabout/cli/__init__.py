"""The command ``walkabout``: one file for each command, and errors that are one line."""

from pathlib import Path

import click

from walkabout import __version__
from walkabout.cli.backup import backup, restore
from walkabout.cli.check import check
from walkabout.cli.demo import demo
from walkabout.cli.exports import export, import_everything
from walkabout.cli.folder import data_option
from walkabout.cli.imports import imports
from walkabout.cli.init import init
from walkabout.cli.serve import serve
from walkabout.cli.speech import OneLineErrors
from walkabout.cli.tags import tags


@click.group("walkabout", cls=OneLineErrors, context_settings={"help_option_names": ["-h", "--help"]})
@data_option
@click.version_option(__version__, prog_name="walkabout")
def main(data: Path | None) -> None:
    """Printed tags, quick entries and due work for a backyard orchard."""


for _command in (init, demo, serve, imports, tags, check, backup, restore, export):
    main.add_command(_command)
imports.add_command(import_everything)
