"""Work done in the demo's yard: planting, the work of the crop's year, water in the dry weeks."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from walkabout.demo.days import Days
from walkabout.demo.seen import CITRUS, Seen
from walkabout.demo.tables import DemoPlant, Work, crop_years
from walkabout.demo.weather import HIT_HARD, hit_hard, killed_share, only_stock_left
from walkabout.reference.stages import flowering_stages

_BARE_ROOT = ("peach", "plum_japanese", "apple")
_GALLONS_OF_YOUNG, _YOUNG = 5, 2.6  # the young ones are watered by hand, to an age in years
_OPEN, _FLOWERS_FOR = range(60, 68), 25  # BBCH codes of open flowers; days about their usual day
_POTS_A_SPELL, _BEARING_ASKS = 2, 0.12
_HARMLESS = ("unbanked", "mulched", "carried_out", "uncovered")


def work(plant: DemoPlant, days: Days, year: int) -> Iterator[Seen]:
    """What was done to a plant in a year."""
    yield from _planted(plant, days, year)
    for row in crop_years()[plant.crop].works:
        yield from _usual(plant, row, days, year)
    for first, last in days.dry_spells(year):
        yield from _watered(plant, first, last, days)


def _planted(plant: DemoPlant, days: Days, year: int) -> Iterator[Seen]:
    planted = days.planted(plant)
    if planted is None or planted.year != year:
        return
    works = ["planted", "watered"]
    if plant.crop in _BARE_ROOT:
        works.insert(1, "headed")
    yield Seen(plant.name, "done", planted, {"work": works, "water_gal": 5}, "owner")


def _usual(plant: DemoPlant, row: Work, days: Days, year: int) -> Iterator[Seen]:
    if row.pots is not None and row.pots != bool(plant.pot_gal):
        return
    luck = days.chance(plant.name, year, row.on, *row.do["work"])
    if luck.random() >= row.chance:
        return
    day = days.walked(row.on.of(year) + timedelta(days=luck.randint(-5, 9)))
    age = days.age(plant, day)
    if not row.ages[0] <= age <= row.ages[1]:
        return
    do: dict[str, Any] = dict(row.do)
    if row.amount:
        do[row.amount] = max(0.25, round(min(row.most, row.each_age * age) * 4) / 4)
    if not _makes_sense(plant, do, days, day):
        return
    yield Seen(plant.name, "done", day, do)
    if row.undone_on is not None and row.undo is not None:
        undone = row.undone_on.of(year)
        if undone < day:
            undone = row.undone_on.of(year + 1)
        yield Seen(plant.name, "done", days.walked(undone), row.undo)


def _makes_sense(plant: DemoPlant, do: dict[str, Any], days: Days, day: date) -> bool:
    """Whether one would do it then: nothing hard to what the freeze hit, nothing for a crop that is not there."""
    if "sprayed" in do["work"] and _in_flower(plant, day):
        return False
    if hit_hard(plant, days, day):
        return set(do["work"]) <= set(_HARMLESS)
    if "thinned" in do["work"] and killed_share(plant, days, day.year) >= HIT_HARD:
        return False
    if "suckers_removed" in do["work"] and plant.crop in CITRUS and plant.raised == "cutting":
        return False
    return not (
        only_stock_left(plant, days, day) and set(do["work"]) & {"suckers_removed", "thinned", "pruned"}
    )


def _in_flower(plant: DemoPlant, day: date) -> bool:
    stages = {stage.key: stage.bbch for stage in flowering_stages(plant.crop)}
    open_flowers = [usual for key, usual in crop_years()[plant.crop].stages if stages.get(key, 0) in _OPEN]
    return any(abs((day - usual.of(day.year)).days) < _FLOWERS_FOR for usual in open_flowers)


def _watered(plant: DemoPlant, first: date, last: date, days: Days) -> Iterator[Seen]:
    age = days.age(plant, first)
    luck = days.chance(plant.name, first, "watered")
    if age < 0.05:
        return
    if plant.pot_gal:
        times, gallons = _POTS_A_SPELL, max(1, round(plant.pot_gal / 4))
    elif age < _YOUNG:
        times, gallons = luck.choice((1, 1, 2)), _GALLONS_OF_YOUNG
    elif luck.random() < _BEARING_ASKS:
        times, gallons = 1, 20
    else:
        return
    for turn in range(times):
        day = days.walked(first + (last - first) * ((turn + 1) / (times + 1)))
        yield Seen(plant.name, "done", day, {"work": ["watered"], "water_gal": gallons})
