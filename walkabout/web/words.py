"""How pages say dates, times and measures, and how they take measures in the yard's units."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import flask_babel
from flask import Flask
from flask_babel import get_locale

from walkabout.care.looks import Reasons
from walkabout.entries.facts import grafted
from walkabout.entries.kinds import KINDS
from walkabout.horticulture import units
from walkabout.records.limbs import Limb
from walkabout.records.plants import Plant
from walkabout.reference.crops import crop_name
from walkabout.reference.training import training_name
from walkabout.tags.codes import shown
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


def season_words(begun: date) -> str:
    """The growing season that began on a day: 2026 season; 2026/27 season where it runs over the new year."""
    spring_in_march = begun.month < 7
    years = f"{begun.year}" if spring_in_march else f"{begun.year}/{(begun.year + 1) % 100:02d}"
    return _("%(years)s season", years=years)


def leaf_words(leaf: int | None) -> str:
    """The growing season since planting as the trade says it: 5th leaf; nothing when it is not known."""
    if leaf is None:
        return ""
    if leaf == 0:
        return _("not yet in its first leaf")
    forms = {"one": _("%(leaf)sst leaf"), "two": _("%(leaf)snd leaf"), "few": _("%(leaf)srd leaf")}
    pattern = forms.get(get_locale().ordinal_form(leaf), _("%(leaf)sth leaf"))
    return pattern % {"leaf": leaf}


def what_words(plant: Plant, leaf: int | None) -> str:
    """What a plant is: Fig, Brown Turkey · on own roots · 5th leaf. Its state is told by its status."""
    parts = (
        ", ".join(filter(None, (crop_name(plant.crop), plant.cultivar))),
        _roots_words(plant),
        leaf_words(leaf),
    )
    return " · ".join(filter(None, parts))


def _roots_words(plant: Plant) -> str:
    if plant.rootstock:
        return _("on %(rootstock)s", rootstock=plant.rootstock)
    on_stock = grafted(plant.raised)
    if on_stock is None:
        return ""
    return _("rootstock not known") if on_stock else _("on own roots")


def where_words(plant: Plant) -> str:
    """Where a plant stands, how, and since when: South bed, spot 4 · 30 L container · fan · planted about 2021."""
    pot = ""
    if plant.container:
        volume = plant.container_litres
        pot = _("%(volume)s container", volume=litre_words(volume)) if volume else _("in a container")
    return " · ".join(
        filter(
            None,
            (
                plant.spot.name if plant.spot else _("spot not known"),
                pot,
                training_name(plant.training),
                _("kept at %(height)s", height=height_words(plant.wanted_height_m))
                if plant.wanted_height_m
                else "",
                _planting_words(plant),
            ),
        )
    )


def _planting_words(plant: Plant) -> str:
    if plant.planted:
        return _("planted %(day)s", day=planted_words(plant.planted, about=plant.planted_about))
    return "" if plant.state in ("wanted", "ordered") else _("planting not known")


def ended_words(plant: Plant) -> str:
    """How a plant ended: dead since Jan 2026: gophers; "" for one that did not, or of which no more is known."""
    if plant.state not in ("dead", "gone") or not (plant.ended or plant.ended_why):
        return ""
    state = state_words(plant.state)
    if plant.ended:
        day = planted_words(plant.ended, about=False)
        state = _("%(state)s since %(day)s", state=state, day=day)
    return ": ".join(filter(None, (state, plant.ended_why)))


def height_words(metres: float) -> str:
    """A height in the yard's units."""
    if clock.the_yard().units == "us":
        return _("%(number)s ft", number=number_words(units.feet(metres)))
    return _("%(number)s m", number=number_words(metres, 2))


def limb_words(limb: Limb) -> str:
    """What a limb is: plum, Stanley · grafted Mar 2024."""
    what = ", ".join(filter(None, (crop_name(limb.crop) if limb.crop else "", limb.cultivar)))
    since = _("grafted %(day)s", day=planted_words(limb.grafted, about=False)) if limb.grafted else ""
    state = state_words(limb.state) if limb.state != "growing" else ""
    return " · ".join(filter(None, (what, since, state)))


def look_words(found: Reasons) -> str:
    """Why a plant needs a look: 2 problems open · work due · nothing noted for 74 days."""
    parts = []
    if found.problems:
        parts.append(
            str(flask_babel.ngettext("%(num)s problem open", "%(num)s problems open", found.problems))
        )
    if found.due:
        parts.append(_("work due"))
    if found.unseen_days is not None:
        parts.append(
            str(
                flask_babel.ngettext(
                    "nothing noted for %(num)s day", "nothing noted for %(num)s days", found.unseen_days
                )
            )
        )
    return " · ".join(parts)


def window_words(opens: date, closes: date | None) -> str:
    """When a task can be done: by Wed 20 May; from Mon 1 Jun to Wed 10 Jun; from today."""
    begun = opens <= clock.today()
    if closes is None:
        return _("since %(day)s", day=day_words(opens)) if begun else _("from %(day)s", day=day_words(opens))
    if not begun:
        return _("%(first)s to %(last)s", first=day_words(opens), last=day_words(closes))
    if closes < clock.today():
        return _("was due by %(day)s", day=day_words(closes))
    return _("by %(day)s", day=day_words(closes))


def moment_words(moment: str) -> str:
    """A moment in the yard's time, from ISO text: today, 07:42."""
    local = datetime.fromisoformat(moment).astimezone(ZoneInfo(clock.the_yard().timezone))
    return _("%(day)s, %(time)s", day=day_words(local), time=clock_words(local))


def state_words(state: str) -> str:
    """The state of a plant."""
    return {
        "wanted": _("wanted"),
        "ordered": _("ordered"),
        "growing": _("growing"),
        "dead": _("dead"),
        "gone": _("gone"),
    }[state]


def role_words(role: str) -> str:
    """What someone is in the yard."""
    return {"owner": _("owner"), "keeper": _("keeper")}[role]


def photo_words(kind_key: str, seen_on: date) -> str:
    """What a photo of an entry is of, for those who do not see it: Photo, Pest or disease, Tue 14 Jan."""
    title = KINDS[kind_key].title if kind_key in KINDS else _("Note")
    return _("Photo, %(kind)s, %(day)s", kind=str(title), day=day_words(seen_on))


def teach(app: Flask) -> None:
    """Let templates use these words."""
    app.jinja_env.globals.update(
        clock_words=clock_words,
        day_words=day_words,
        ended_words=ended_words,
        height_words=height_words,
        limb_words=limb_words,
        look_words=look_words,
        moment_words=moment_words,
        photo_words=photo_words,
        role_words=role_words,
        state_words=state_words,
        what_words=what_words,
        where_words=where_words,
        window_words=window_words,
        crop_name=crop_name,
        language=lambda: str(get_locale()).replace("_", "-"),
        now=clock.now,
        shown_code=shown,
        today=clock.today,
        the_yard=clock.the_yard,
        yard_time=clock.yard_time,
    )
