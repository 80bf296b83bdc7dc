"""``walkabout serve``: serve the yard, in one process."""

from pathlib import Path
from urllib.parse import urlsplit

import click

from walkabout.app import create_app
from walkabout.cli.folder import data_option, open_yard, settings
from walkabout.cli.serving import bound_socket, run, sole_server
from walkabout.config import BACKUPS_OFF, read_hour
from walkabout.jobs.backups import Copies, DailyBackup
from walkabout.jobs.schedule import Schedule
from walkabout.records.yards import origins, the_yard

PORT = click.IntRange(1, 65535)


def _hour(context: click.Context, option: click.Parameter, text: str | None) -> int | None:
    try:
        return None if text is None else read_hour(text)
    except ValueError as error:
        raise click.BadParameter(f"{error}.", context, option) from error


@click.command()
@data_option
@click.option(
    "--host",
    help="Address to listen on; 0.0.0.0 is every one of this machine. Else WALKABOUT_HOST, else 127.0.0.1.",
)
@click.option("--port", type=PORT, help="Port to listen on; else WALKABOUT_PORT, else 8480.")
@click.option(
    "--backup-folder",
    type=click.Path(path_type=Path),
    help="Folder for the daily backups, better on another disk; else WALKABOUT_BACKUP_FOLDER, else in the data folder.",
)
@click.option(
    "--backup-hour",
    metavar="HOUR",
    callback=_hour,
    help="Hour of the daily backup, 0 to 23, or off. Else WALKABOUT_BACKUP_HOUR, else 3.",
)
def serve(
    data: Path | None, host: str | None, port: int | None, backup_folder: Path | None, backup_hour: int | None
) -> None:
    """Serve the yard until Ctrl-C, and back it up once a day."""
    chosen = settings(data, host=host, port=port, backup_folder=backup_folder, backup_hour=backup_hour)
    folder = open_yard(data)
    yard = the_yard()
    address = address_of(chosen.host, chosen.port)
    with sole_server(folder, address), bound_socket(chosen.host, chosen.port) as listener:
        for line in origin_remarks(origins(), chosen.port):
            click.echo(line, err=True)
        copies = Copies(folder, chosen.backup_folder)
        app = create_app(folder, {"BACKUPS": copies})
        jobs = []
        if chosen.backup_hour != BACKUPS_OFF:
            jobs.append(DailyBackup(copies, chosen.backup_hour, yard.timezone))
        with Schedule(*jobs):
            run(app, listener, lambda: click.echo(f"{yard.name} is served at {address} (Ctrl-C ends it)"))


def address_of(host: str, port: int) -> str:
    """How a browser on this machine names what listens there."""
    if host in ("0.0.0.0", "::", ""):  # noqa: S104 -- compared with, not listened on
        host = "127.0.0.1"
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"


def origin_remarks(recorded: tuple[str, ...], port: int) -> list[str]:
    """What to say when no recorded address leads to this port.

    An https address usually means that another program stands in front and passes requests on, so only
    plain http addresses are compared.
    """
    plain = [urlsplit(origin) for origin in recorded if origin.startswith("http://")]
    if len(plain) < len(recorded) or any((parts.port or 80) == port for parts in plain):
        return []
    remark = (
        f"walkabout: The yard's recorded address is {recorded[0]}, but this is port {port}. Tags lead to the recorded "
        f"address, and entries sent from another are refused. Serve with --port {plain[0].port or 80} instead."
    )
    return [remark]
