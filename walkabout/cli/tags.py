"""``walkabout tags``: give every growing plant a tag and print the tags on label sheets."""

import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO, TypeVar

import click

from walkabout.cli.folder import data_option, open_yard
from walkabout.errors import BadInput
from walkabout.records.tags import issue_missing
from walkabout.records.yards import origins, the_yard
from walkabout.tags.codes import make_code
from walkabout.tags.printing import print_all
from walkabout.tags.sheets import sheet, sheet_names

Result = TypeVar("Result")
_SHEETS = {name.partition("-")[0]: name for name in sheet_names()}


@click.command()
@data_option
@click.option("--all", "all_tags", is_flag=True, help="Print the tags of all growing plants and their limbs.")
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), required=True, help="The PDF to write."
)
@click.option(
    "--sheet", "stock", type=click.Choice(sorted(_SHEETS)), help="Label sheet; else by the yard's units."
)
def tags(data: Path | None, all_tags: bool, out: Path, stock: str | None) -> None:  # noqa: FBT001 -- click
    """Give every growing plant that has none a tag, and print the tags as a PDF."""
    if not all_tags:
        raise BadInput("Which tags? So far all can be printed together: add --all.")
    open_yard(data)
    chosen = sheet(_SHEETS[stock or ("letter" if the_yard().units == "us" else "a4")])
    given = issue_missing(make_code)
    origin = origins()[0]
    printed = written_whole(out, lambda file: print_all(origin, chosen.name, file))
    for text in printed.gaps:
        click.echo(f"walkabout: the type of the tags cannot draw all signs of: {text}", err=True)
    new = f", {given} of them new" if given else ""
    click.echo(
        f"{printed.labels} tags{new}, on {printed.pages} {'page' if printed.pages == 1 else 'pages'} for {chosen.title}, in {out}. "
        f"Print at 100 %, without fitting to the page. They lead to {origin}"
    )


def written_whole(path: Path, write: Callable[[BinaryIO], Result]) -> Result:
    """Write a file so that it is there whole or not at all; one that was there before stays until then."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            result = write(file)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return result
