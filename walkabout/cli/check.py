"""``walkabout check``: is what is recorded sound?"""

from pathlib import Path

import click

from walkabout.cli.folder import data_option, open_yard
from walkabout.cli.speech import FAILED
from walkabout.records.soundness import faults
from walkabout.records.yards import the_yard


@click.command()
@data_option
@click.pass_context
def check(context: click.Context, data: Path | None) -> None:
    """Look whether the records are sound; one line for each fault, exit code 1 if there is any."""
    folder = open_yard(data)
    yard = the_yard()
    found = faults()
    for fault in found:
        click.echo(fault)
    if found:
        context.exit(FAILED)
    click.echo(f"The records of {yard.name} in {folder} are sound.")
