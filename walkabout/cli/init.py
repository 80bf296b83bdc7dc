"""``walkabout init``: set up a yard, from options or by asking."""

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import click

from walkabout.cli import answers
from walkabout.cli.folder import data_option, settings
from walkabout.config import default_data_folder
from walkabout.errors import BadInput, Conflict, YardMissing
from walkabout.records import yard_answers
from walkabout.records.database import FILE_NAME, open_database, writing
from walkabout.records.people import add_person
from walkabout.records.yards import FrostDate, create_yard, the_yard

Answer = TypeVar("Answer")


@click.command()
@data_option
@click.option("--name", help="What the yard is called.")
@click.option("--latitude", help="Decimal degrees, south negative.")
@click.option("--longitude", help="Decimal degrees, west negative.")
@click.option("--timezone", help="IANA name, such as America/Chicago.")
@click.option("--units", help="us or metric: what the pages show.")
@click.option("--last-frost", help='Usual last frost of spring: MM-DD, "about MM-DD" or unknown.')
@click.option("--first-frost", help='Usual first frost of autumn: MM-DD, "about MM-DD" or unknown.')
@click.option("--frost-free", is_flag=True, help="Frost does not come here.")
@click.option(
    "--origin",
    help="Address at which phones reach the yard, such as http://192.168.1.20:8480; tags print it.",
)
@click.option("--owner", help="Name that the owner signs in with.")
@click.option("--password", help="The owner's password; better left out, it is then asked for.")
def init(
    data: Path | None,
    name: str | None,
    latitude: str | None,
    longitude: str | None,
    timezone: str | None,
    units: str | None,
    last_frost: str | None,
    first_frost: str | None,
    frost_free: bool,  # noqa: FBT001 -- click gives a flag like every option
    origin: str | None,
    owner: str | None,
    password: str | None,
) -> None:
    """Set up a yard in an empty data folder; asks for what is not given."""
    chosen = settings(data)
    _must_be_empty(chosen.data)
    if frost_free and (last_frost or first_frost):
        raise BadInput("--frost-free and a frost date exclude each other. Leave one of them out.")
    yard_name = ask("name", "Name of the yard", name, yard_answers.short_text)
    north = ask("latitude", "Latitude, decimal degrees, south negative", latitude, yard_answers.latitude)
    east = ask("longitude", "Longitude, decimal degrees, west negative", longitude, yard_answers.longitude)
    zone = ask("timezone", "Time zone", timezone, yard_answers.timezone, default=answers.own_timezone())
    shown_units = ask("units", "Units on the pages, us or metric", units, yard_answers.units)
    last = first = None
    if not frost_free:
        last = _ask_frost("last-frost", "Usual last frost of spring", last_frost)
        first = _ask_frost("first-frost", "Usual first frost of autumn", first_frost)
        yard_answers.must_be_in_order(last, first, north)
    address = ask(
        "origin",
        "Address at which phones reach the yard (tags print it)",
        origin,
        answers.origin,
        default=f"http://127.0.0.1:{chosen.port}",
    )
    person = ask("owner", "Your name, to sign in with", owner, yard_answers.short_text)
    secret = ask("password", "Password", password, answers.password, hidden=True)

    open_database(chosen.data, create=True)
    with writing():
        create_yard(
            name=yard_name,
            latitude=north,
            longitude=east,
            timezone=zone,
            units=shown_units,
            origin=address,
            last_frost=last,
            first_frost=first,
            frost_free=frost_free,
        )
        add_person(person, secret, "owner")
    click.echo(f"{yard_name} is set up in {chosen.data}. {_frost_words(last, first, frost_free=frost_free)}")
    command = "walkabout" if chosen.data == default_data_folder() else f"walkabout --data {chosen.data}"
    click.echo(f"Next: {command} import plants FILE, {command} tags --all --out tags.pdf, {command} serve")


def _must_be_empty(folder: Path) -> None:
    if not (folder / FILE_NAME).exists():
        return
    open_database(folder)
    try:
        name = the_yard().name
    except YardMissing:  # an earlier init was cut short before anything was recorded
        return
    raise Conflict(
        f"{name} is set up in {folder} already. Nothing was changed. Use --data for another folder."
    )


def ask(
    option: str,
    question: str,
    given: str | None,
    read: Callable[[str], Answer],
    *,
    default: str | None = None,
    hidden: bool = False,
) -> Answer:
    """The answer that was given, else that of the person in front of the terminal, asked until it can be taken."""
    if given is not None:
        return read(given)
    while True:
        try:
            text = click.prompt(question, default=default, hide_input=hidden, confirmation_prompt=hidden)
        except click.Abort as abort:
            if isinstance(abort.__context__, EOFError):
                raise BadInput(f"There is nobody to ask. Add --{option}.") from abort
            raise
        try:
            return read(text)
        except BadInput as error:
            click.echo(error.message)


def _ask_frost(option: str, question: str, given: str | None) -> FrostDate | None:
    """A frost date; where nobody can be asked it is not known."""
    try:
        return ask(
            option,
            f'{question}: MM-DD, "about MM-DD" or unknown',
            given,
            yard_answers.frost,
            default="unknown",
        )
    except BadInput:
        if given is not None:
            raise
        return None


def _frost_words(last: FrostDate | None, first: FrostDate | None, *, frost_free: bool) -> str:
    if frost_free:
        return "Frost does not come."
    return f"Last frost {last or 'not known'}, first frost {first or 'not known'}."
