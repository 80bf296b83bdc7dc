"""``walkabout import plants`` and ``walkabout import entries``: a grower's own lists, shown first, then kept."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

import click

from walkabout.cli.folder import data_option, open_yard
from walkabout.errors import BadInput
from walkabout.imports import entries as entry_list
from walkabout.imports import plants as plant_list
from walkabout.imports.plan import Plan, lines_to_skip
from walkabout.imports.read import read_sheet
from walkabout.records.people import people
from walkabout.records.plants import folded, plants
from walkabout.records.spots import spots
from walkabout.records.tags import tags
from walkabout.records.yards import Yard, the_yard
from walkabout.tags.codes import make_code, read_code

Command = TypeVar("Command", bound=Callable[..., Any])


@click.group("import")
def imports() -> None:
    """Bring in a list of plants or entries from a CSV file."""


def _options(command: Command) -> Command:
    """What both imports take."""
    for option in (
        click.argument("file", type=click.Path(path_type=Path)),
        click.option("--yes", is_flag=True, help="Do not ask before writing."),
        click.option(
            "--map", "said", multiple=True, metavar='"COLUMN=FIELD"', help="Which field a column holds."
        ),
        click.option("--skip", metavar="LINES", help="Lines to leave out, such as 4,7-9."),
        click.option(
            "--dates", type=click.Choice(["dmy", "mdy"]), help="How dates such as 1/2/2024 are written."
        ),
        click.option("--encoding", help="What the file is written in, if not UTF-8; such as cp1252."),
        data_option,
    ):
        command = option(command)
    return command


@imports.command("plants")
@_options
@click.option("--skip-known", is_flag=True, help="Leave out plants whose name the yard has.")
def import_plants(
    data: Path | None,
    file: Path,
    yes: bool,  # noqa: FBT001 -- click gives a flag like every option
    said: tuple[str, ...],
    skip: str | None,
    dates: str | None,
    encoding: str | None,
    skip_known: bool,  # noqa: FBT001
) -> None:
    """Add the plants of a CSV file.

    The first line names the columns: name, crop, cultivar, rootstock, raised, planted, spot, row, col, x_m or x_ft,
    y_m or y_ft, container, container_litres or container_gallons, state. Every line is shown before anything is
    written, and nothing is written unless all are good.
    """
    open_yard(data)
    sheet = read_sheet(file, most_lines=plant_list.MOST_LINES, encoding=encoding)
    known = plant_list.Known({folded(plant.name) for plant in plants()}, spots())
    plan = plant_list.plan_plants(
        sheet,
        known,
        _today(the_yard()),
        said=said,
        skip=lines_to_skip(skip),
        skip_known=skip_known,
        dates=dates,
    )
    if _agreed(plan, "plants", yes=yes):
        added = plant_list.keep_plants(plan, make_code)
        counted = "1 plant was" if len(added) == 1 else f"{len(added)} plants were"
        click.echo(f"{counted} added, each with a tag. Print the tags: walkabout tags --all --out tags.pdf")


@imports.command("entries")
@_options
def import_entries(
    data: Path | None,
    file: Path,
    yes: bool,  # noqa: FBT001 -- click gives a flag like every option
    said: tuple[str, ...],
    skip: str | None,
    dates: str | None,
    encoding: str | None,
) -> None:
    """Record the entries of a CSV file, in the owner's name.

    The first line names the columns: plant (its name or tag code), date, kind, and what the kind has: weight_lb or
    weight_kg and count for a harvest, problem, part and share for a pest, words for a note. Without a kind a line
    with an amount is a harvest. Importing a file twice records it once.
    """
    open_yard(data)
    yard = the_yard()
    sheet = read_sheet(file, most_lines=entry_list.MOST_LINES, encoding=encoding)
    known = entry_list.Known(
        yard,
        plants(),
        {tag.code: tag.plant_id for tag in tags() if tag.plant_id is not None},
        read_code,
        next(person.id for person in people() if person.role == "owner"),
    )
    plan = entry_list.plan_entries(
        sheet, known, _today(yard), said=said, skip=lines_to_skip(skip), dates=dates
    )
    if _agreed(plan, "entries", yes=yes):
        stored = entry_list.keep_planned(plan)
        click.echo("1 entry was recorded." if stored == 1 else f"{stored} entries were recorded.")


def _agreed(plan: Plan[Any], what: str, *, yes: bool) -> bool:
    """Show the plan; whether it is to be carried out.

    Raises:
        BadInput: lines are wrong, or there is nobody to ask.
    """
    for line in (*plan.columns.words(), *plan.lines):
        click.echo(line)
    plan.must_be_sound()
    if not plan.ready:
        click.echo("Nothing is to be added.")
        return False
    if yes:
        return True
    try:
        agreed = click.confirm(f"Add what is listed ({len(plan.ready)} {what})?")
    except click.Abort as abort:
        if isinstance(abort.__context__, EOFError):
            raise BadInput("There is nobody to ask. Nothing was written. Add --yes to write it.") from abort
        raise
    if not agreed:
        click.echo("Nothing was written.")
    return agreed


def _today(yard: Yard) -> date:
    return datetime.now(UTC).astimezone(ZoneInfo(yard.timezone)).date()
