"""``walkabout export`` and ``walkabout import all``: everything of a yard out in one file, and in again."""

import os
from datetime import UTC, datetime
from pathlib import Path

import click

from walkabout.cli import answers
from walkabout.cli.folder import data_option, open_yard, settings
from walkabout.cli.init import ask
from walkabout.errors import BadInput
from walkabout.exports.back import Export, Owner, import_all, read_export
from walkabout.exports.out import write_export
from walkabout.records.bundle import placed_whole
from walkabout.records.yards import the_yard


@click.command()
@data_option
@click.argument("file", type=click.Path(path_type=Path))
def export(data: Path | None, file: Path) -> None:
    """Write all records as JSON and as CSV tables, with the photos, in one zip; no passwords are in it."""
    folder = open_yard(data)
    if file.is_dir():
        raise BadInput(f"{file} is a folder. Name a file in it, such as {file / 'yard.zip'}")
    if not file.parent.is_dir():
        raise BadInput(f"The folder {file.parent} is not there. Make it, or choose another.")
    with placed_whole(file) as out:
        for _ in write_export(out, folder, datetime.now(UTC)):
            pass
    click.echo(f"All records of {the_yard().name} are in {file}. Its README.txt says what is what.")


@click.command("all")
@data_option
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--owner", "name", help="Who is to own the yard, where the file names several owners.")
@click.option("--password", help="The owner's new password; better left out, it is then asked for.")
def import_everything(data: Path | None, file: Path, name: str | None, password: str | None) -> None:
    """Make a yard of what walkabout export wrote, in an empty data folder.

    Ids are kept, passwords are not in the file: the owner gets a new one here, and adds the others again by name.
    """
    folder = settings(data).data
    found = read_export(file)
    owner = _owner(found, name)
    secret = ask("password", f"New password for {owner.name}", password, answers.password, hidden=True)
    import_all(found, folder, owner, secret)
    counted = ", ".join(
        f"{words}: {len(found.records[table])}"
        for table, words in (("plant", "plants"), ("entry", "entries"), ("photo", "photos"))
    )
    click.echo(
        f"{the_yard().name} is in {folder} again ({counted}). {owner.name} signs in with the new password and adds the "
        f"others again by name. Next: walkabout --data {folder} serve"
    )
    if found.missing:
        click.echo(
            f"walkabout: {len(found.missing)} photo files are not in the export. "
            f"The first: {found.missing[0].replace(os.sep, '/')}. Run: walkabout check",
            err=True,
        )


def _owner(found: Export, name: str | None) -> Owner:
    if name is None and len(found.owners) == 1:
        return found.owners[0]
    for owner in found.owners:
        if name is not None and owner.name.casefold() == " ".join(name.split()).casefold():
            return owner
    names = ", ".join(owner.name for owner in found.owners)
    raise BadInput(f"The yard is owned by {names}. Choose who is to own it here with --owner NAME.")
