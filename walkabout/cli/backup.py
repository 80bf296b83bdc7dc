"""``walkabout backup`` and ``walkabout restore``."""

import os
from datetime import UTC, datetime
from pathlib import Path

import click

from walkabout.cli.folder import data_option, settings
from walkabout.errors import BadInput
from walkabout.jobs.backups import Copies, backed_up, on_same_disk
from walkabout.records.backup import Backup
from walkabout.records.restoring import restore as restore_backup
from walkabout.records.yards import the_yard

_SAME_DISK = "It lies on the disk of the yard itself: keep a copy elsewhere too."


@click.command()
@data_option
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="The zip to write; else one in the folder of the backups, named by the time.",
)
def backup(data: Path | None, out: Path | None) -> None:
    """Write a backup of database and photos, also while the yard is served, and read it again."""
    chosen = settings(data)
    copies = Copies(chosen.data, chosen.backup_folder)
    now = datetime.now(UTC)
    if out is None:
        path, made = copies.make(now)
    else:
        _must_be_a_file(out)
        path, made = out, backed_up(chosen.data, out, now)
    click.echo(
        f"{made.yard} is backed up in {path} ({made.words()}); it was read again and is whole. It holds passwords "
        f"in hashed form: keep it to yourself.{' ' + _SAME_DISK if on_same_disk(chosen.data, path) else ''}"
    )
    _tell_missing(made)


@click.command()
@data_option
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--into",
    type=click.Path(path_type=Path),
    help="Empty folder to restore into; else the data folder, which must then be empty.",
)
def restore(data: Path | None, file: Path, into: Path | None) -> None:
    """Make a backup into a yard again. Every phone must sign in anew, and then offers again what it sent."""
    folder = into or settings(data).data
    made = restore_backup(file, folder)
    click.echo(
        f"{the_yard().name} is restored in {folder} as it was at {made.made_at} ({made.words()}). Phones must sign in "
        f"again and then send again what they sent in the last 30 days. Next: walkabout --data {folder} serve"
    )
    _tell_missing(made)


def _must_be_a_file(out: Path) -> None:
    if out.is_dir():
        raise BadInput(f"{out} is a folder. Name a file in it, such as {out / 'yard.zip'}")
    if not out.parent.is_dir():
        raise BadInput(f"The folder {out.parent} is not there. Plug its disk in, or make the folder.")


def _tell_missing(made: Backup) -> None:
    if made.missing:
        click.echo(
            f"walkabout: {len(made.missing)} photo files were lost or spoilt before and are not in the backup. "
            f"The first: {made.missing[0].replace(os.sep, '/')}. Run: walkabout check",
            err=True,
        )
