"""What frost and wind did in the demo's yard, and what was done against it."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from functools import cache
from typing import Any

from walkabout.demo.days import Days
from walkabout.demo.seen import CITRUS, Seen, share_words
from walkabout.demo.tables import DemoPlant, demo_plants, events_table

_FRUIT_FROZEN_FOR = timedelta(days=70)  # what hung in the freeze is not picked any more
_RESTS_FOR = timedelta(days=140)  # what was hit hard is left alone until its new wood shows what lives
HIT_HARD = 45  # percent of the canopy: from here on neither bloom nor crop in that year
_EVERGREEN_LACKS, _OTHERS_LACK = 0.6, 0.2
_COVERED_AGE = 3.5  # years; older trees take a light frost uncovered


def weather(days: Days) -> Iterator[Seen]:
    """Everything that came of the hard freeze, the light frosts and the storm."""
    yield from _freeze(days)
    for year in days.years():
        for night in days.light_frosts(year):
            yield from _light_frost(night, days)
    yield from _storm(days)


def killed_share(plant: DemoPlant, days: Days, year: int) -> float:
    """Percent of the canopy, or of the crop that hung, that the freeze cost a plant in that year."""
    return _killed().get(plant.name, 0) if year == days.freeze.year else 0


def wood_lost(plant: DemoPlant, days: Days, year: int) -> float:
    """Share of its height that a plant lacks a year after the freeze; what sprouts from the ground has caught up."""
    if plant.name in _fruit_only():
        return 0
    return (
        killed_share(plant, days, year) / 100 * (_EVERGREEN_LACKS if plant.crop in CITRUS else _OTHERS_LACK)
    )


def hit_hard(plant: DemoPlant, days: Days, on: date) -> bool:
    """Whether a plant is still to be left alone on a day: hit by the freeze and not yet grown out."""
    hit = killed_share(plant, days, days.freeze.year) >= HIT_HARD and plant.name not in _fruit_only()
    return hit and days.freeze <= on <= days.freeze + _RESTS_FOR


def only_stock_left(plant: DemoPlant, days: Days, on: date) -> bool:
    """Whether nothing but the rootstock lives on a day: it neither flowers nor bears."""
    return plant.name in _below_union() and on >= days.freeze


def fruit_froze(plant: DemoPlant, days: Days, on: date) -> bool:
    """Whether what hung on a plant was frozen on a day."""
    in_the_ground = plant.pot_gal is None
    return in_the_ground and plant.crop in CITRUS and days.freeze <= on <= days.freeze + _FRUIT_FROZEN_FOR


@cache
def _killed() -> Mapping[str, float]:
    lasting: dict[str, float] = {}
    for look in events_table()["freeze"]["look"]:
        if look["after"] >= 30 or look["part"] == "fruit":
            lasting[look["plant"]] = max(look["share"], lasting.get(look["plant"], 0))
    return lasting


@cache
def _fruit_only() -> frozenset[str]:
    looks = events_table()["freeze"]["look"]
    return frozenset(look["plant"] for look in looks if look["part"] == "fruit")


@cache
def _below_union() -> frozenset[str]:
    looks = events_table()["freeze"]["look"]
    return frozenset(look["plant"] for look in looks if look.get("living") == "below")


def _freeze(days: Days) -> Iterator[Seen]:
    table = events_table()["freeze"]
    for look in table["look"]:
        details: dict[str, Any] = {
            "cause": "frost",
            "happened_on": days.freeze.isoformat(),
            "part": look["part"],
            "share": share_words(look["share"]),
        }
        if "living" in look:
            details["lowest_living"] = look["living"]
        if "back_to_in" in look:
            details["dead_back_to_in"] = look["back_to_in"]
        day = days.freeze + timedelta(days=look["after"])
        yield Seen(look["plant"], "damage", day, details, picture=look.get("picture", ""))
    yield Seen("Old gate fig", "note", days.freeze + timedelta(days=1), {"words": table["night"]}, "owner")
    for note in table["note"]:
        day = days.freeze + timedelta(days=note["after"])
        yield Seen(note["plant"], "note", day, {"words": note["text"]}, note.get("by", "owner"))
    for done in table["done"]:
        for name in done["plants"]:
            day = days.freeze + timedelta(days=done["after"])
            yield Seen(
                name, "done", day, done["do"], done.get("by", "owner"), picture=done.get("picture", "")
            )
    for grown in table["growth"]:
        day = days.walked(days.freeze + timedelta(days=grown["after"]))
        yield Seen(grown["plant"], "growth", day, grown["seen"], picture=grown.get("picture", ""))


def _light_frost(night: date, days: Days) -> Iterator[Seen]:
    """Pots go in and young citrus under cloth in the evening, and out again two days later."""
    for plant in demo_plants():
        age = days.age(plant, night)
        tender = plant.crop in CITRUS and age > 0
        if tender and plant.pot_gal:
            before, after = {"work": ["carried_in"]}, {"work": ["carried_out"]}
        elif tender and age < _COVERED_AGE:
            before, after = {"work": ["protected"], "protected_with": ["cloth"]}, {"work": ["uncovered"]}
        else:
            continue
        yield Seen(plant.name, "done", night, before, "keeper")
        yield Seen(plant.name, "done", night + timedelta(days=2), after, "owner")


def _storm(days: Days) -> Iterator[Seen]:
    storm = events_table()["storm"]
    happened = days.ago(storm["ago"], storm["on"])
    for look in storm["look"]:
        details = {
            "cause": "wind",
            "happened_on": happened.isoformat(),
            "part": look["part"],
            "share": share_words(look["share"]),
        }
        yield Seen(look["plant"], "damage", happened + timedelta(days=1), details)
