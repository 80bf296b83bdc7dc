"""The one clock of the pages: everything that says "now" or "today" on a page asks here."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from flask import current_app, g

from walkabout.records import yards


def system_clock() -> datetime:
    """The system's time, UTC."""
    return datetime.now(UTC)


def now() -> datetime:
    """This moment, UTC, by the clock that the app was made with."""
    clock: Callable[[], datetime] = current_app.config["CLOCK"]
    return clock()


def the_yard() -> yards.Yard:
    """The yard, read once a request."""
    if "yard" not in g:
        g.yard = yards.the_yard()
    yard: yards.Yard = g.yard
    return yard


def yard_time() -> datetime:
    """This moment on the yard's own clock."""
    return now().astimezone(ZoneInfo(the_yard().timezone))


def today() -> date:
    """The civil date in the yard."""
    return yard_time().date()
