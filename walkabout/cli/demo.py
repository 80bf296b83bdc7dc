"""``walkabout demo``: an invented yard, built and served on this machine only, entered by a one-time link."""

import io
import shutil
import sys
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import click
import qrcode

from walkabout.app import create_app
from walkabout.cli.serve import PORT, address_of
from walkabout.cli.serving import bound_socket, run, sole_server
from walkabout.config import default_data_folder, load_settings
from walkabout.demo.build import build
from walkabout.demo.tables import yard_table
from walkabout.errors import DataFolderError
from walkabout.records.database import FILE_NAME, close_database, open_database
from walkabout.records.people import people
from walkabout.records.photos import FOLDER as PHOTOS
from walkabout.records.sessions import issue_link
from walkabout.records.yards import add_origin, the_yard
from walkabout.tags.codes import make_code

_HOST = "127.0.0.1"
_MARK = "demo.txt"
_LINK_MINUTES = 60


@click.command()
@click.option("--port", type=PORT, help="Port to listen on; else WALKABOUT_PORT, else 8480.")
@click.option(
    "--folder",
    type=click.Path(path_type=Path),
    help="Folder of the demo; a yard of your own is never touched.",
)
@click.option("--fresh", is_flag=True, help="Throw the demo away and build it anew, up to today.")
def demo(port: int | None, folder: Path | None, fresh: bool) -> None:  # noqa: FBT001 -- click gives a flag so
    """Look round in an invented yard with four years of entries."""
    chosen_port = load_settings({"port": port}).port
    place = folder or default_data_folder().with_name("walkabout-demo")
    address = address_of(_HOST, chosen_port)
    _must_be_a_demo(place)
    try:
        place.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise DataFolderError(
            f"The folder {place} cannot be made ({error.strerror}). Choose another with --folder."
        ) from error
    with sole_server(place, address), bound_socket(_HOST, chosen_port) as listener:
        if fresh or not (place / FILE_NAME).exists():
            _build(place, address)
        open_database(place)
        for name in (_HOST, "localhost"):
            add_origin(address_of(name, chosen_port))
        app = create_app(place)
        owner = next(person for person in people() if person.role == "owner")
        link = f"{address}/enter/{issue_link(owner.id, datetime.now(UTC), _LINK_MINUTES)}"
        run(app, listener, lambda: _welcome(link, owner.name))


def _must_be_a_demo(folder: Path) -> None:
    if (folder / FILE_NAME).exists() and not (folder / _MARK).exists():
        raise DataFolderError(
            f"{folder} holds a yard that is no demo. Nothing was touched. Choose another with --folder."
        )


def _build(folder: Path, address: str) -> None:
    """Build the demo beside the old one and take its place only when it is whole."""
    click.echo("Building the demo yard ...")
    new = folder / "new"
    shutil.rmtree(new, ignore_errors=True)
    open_database(new, create=True)
    today = datetime.now(UTC).astimezone(ZoneInfo(yard_table()["timezone"])).date()
    build(today, origin=address, make_code=make_code)
    close_database()
    (folder / _MARK).write_text(
        "An invented yard. walkabout demo --fresh throws it away.\n", encoding="utf-8"
    )
    for path in folder.glob(f"{FILE_NAME}*"):
        path.unlink()
    shutil.rmtree(folder / PHOTOS, ignore_errors=True)
    (new / PHOTOS).rename(folder / PHOTOS)
    for path in new.glob(f"{FILE_NAME}*"):
        path.rename(folder / path.name)
    shutil.rmtree(new)


def _welcome(link: str, owner: str) -> None:
    click.echo(_symbol(link))
    click.echo(
        f"{the_yard().name} is an invented yard. This link lets you in as {owner}, once, within the hour:"
    )
    click.echo(f"\n    {link}\n")
    click.echo("Ctrl-C ends it. What you enter stays; walkabout demo --fresh builds it anew.")


def _symbol(link: str) -> str:
    """The link as a QR symbol of half blocks; nothing where the terminal cannot show them."""
    drawn = io.StringIO()
    symbol = qrcode.QRCode(border=2)
    symbol.add_data(link)
    symbol.print_ascii(out=drawn, invert=True)
    try:
        drawn.getvalue().encode(sys.stdout.encoding or "ascii")
    except UnicodeEncodeError:
        return ""
    return drawn.getvalue()
