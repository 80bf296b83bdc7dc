"""How pages say dates, times and measures, and how they take measures in the yard's units."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import flask_babel
from flask import Flask
from flask_babel import get_locale

from walkabout.horticulture import units
from walkabout.web import clock

# A day further off than this is told with its year.
_NEAR_DAYS = 300


def _(text: str, **values: str) -> str:
    return str(flask_babel.gettext(text, **values))


def _date(day: date, shape: str) -> str:
    return str(flask_babel.format_date(day, shape))


def day_words(day: date | datetime | str) -> str:
    """A day (or moment, or either as ISO text) as people say it: today, yesterday, Tue 14 Jan, 14 Jan 2024."""
    if isinstance(day, str):
        day = datetime.fromisoformat(day) if "T" in day else date.fromisoformat(day)
    if isinstance(day, datetime):
        day = day.astimezone(ZoneInfo(clock.the_yard().timezone)).date()
    ago = (clock.today() - day).days
    if ago in (0, 1, -1):
        return {0: _("today"), 1: _("yesterday"), -1: _("tomorrow")}[ago]
    return _date(day, "EEE d MMM" if abs(ago) <= _NEAR_DAYS else "d MMM y")


def planted_words(planted: str | None, *, about: bool) -> str:
    """When a plant was planted, as exactly as it is known: 14 Mar 2021, Mar 2021, about 2021, not known."""
    if planted is None:
        return _("not known")
    parts = [int(part) for part in planted.split("-")]
    shape = ("y", "MMM y", "d MMM y")[len(parts) - 1]
    words = _date(date(*parts, *[1] * (3 - len(parts))), shape)
    return _("about %(day)s", day=words) if about else words


def clock_words(moment: datetime) -> str:
    """The time of day: 07:42."""
    return str(flask_babel.format_time(moment, "HH:mm", rebase=False))


def number_words(value: float, places: int = 1) -> str:
    """A number with at most so many places: 30, 2.5."""
    return str(flask_babel.format_decimal(round(value, places), format="#,##0." + "#" * places))


def litre_words(litres: float) -> str:
    """A container's volume in the yard's units."""
    if clock.the_yard().units == "us":
        return _("%(number)s gal", number=number_words(units.gallons(litres)))
    return _("%(number)s L", number=number_words(litres))


def length_in_yard_units(metres: float) -> float:
    """Metres as metres or feet."""
    return units.feet(metres) if clock.the_yard().units == "us" else metres


def metres(length: float) -> float:
    """A length in the yard's units as metres."""
    return units.metres(length) if clock.the_yard().units == "us" else length


def volume_in_yard_units(litres: float) -> float:
    """Litres as litres or US gallons."""
    return units.gallons(litres) if clock.the_yard().units == "us" else litres


def litres(volume: float) -> float:
    """A volume in the yard's units as litres."""
    return units.litres(volume) if clock.the_yard().units == "us" else volume


def state_words(state: str) -> str:
    """The state of a plant."""
    return {"growing": _("growing"), "dead": _("dead"), "gone": _("gone")}[state]


def role_words(role: str) -> str:
    """What someone is in the yard."""
    return {"owner": _("owner"), "keeper": _("keeper")}[role]


def teach(app: Flask) -> None:
    """Let templates use these words."""
    app.jinja_env.globals.update(
        clock_words=clock_words,
        day_words=day_words,
        language=lambda: str(get_locale()).replace("_", "-"),
        litre_words=litre_words,
        number_words=number_words,
        now=clock.now,
        planted_words=planted_words,
        role_words=role_words,
        state_words=state_words,
        today=clock.today,
        the_yard=clock.the_yard,
        yard_time=clock.yard_time,
    )
