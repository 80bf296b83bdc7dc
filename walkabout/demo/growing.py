"""Growth of the demo's plants, and what was measured once a year."""

import math
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from walkabout.demo.bearing import bears
from walkabout.demo.days import Days
from walkabout.demo.seen import Seen
from walkabout.demo.tables import DemoPlant, Size, crop_years
from walkabout.demo.weather import hit_hard, only_stock_left, wood_lost
from walkabout.reference.stages import flowering_stages, fruiting_stages, growth_stages

_SEEN = 0.42  # chance that a stage is noted
_FRUIT = ("sizing", "ripening")  # set and drop have a kind of their own
_PICKED = 86  # BBCH; ripe fruit is told by the harvest
_FLUSHES_OF_YOUNG, _FLUSHES_OF_OLD, _YOUNG = 0.6, 0.2, 6  # years
_MEASURED = 0.85
_IN_POT = 0.6  # height of a plant in a pot against one in the ground


def growing(plant: DemoPlant, days: Days, year: int) -> Iterator[Seen]:
    """How a plant grew in a year."""
    yield from _stages(plant, days, year)
    yield from _flushes(plant, days, year)
    yield from _measured(plant, days, year)


def _stages(plant: DemoPlant, days: Days, year: int) -> Iterator[Seen]:
    flowering = flowering_stages(plant.crop)
    stages = {stage.key: stage for stage in growth_stages(plant.crop) if stage not in flowering}
    if bears(plant, days, year):
        fruit = (stage for stage in fruiting_stages(plant.crop) if stage.phase in _FRUIT)
        stages |= {stage.key: stage for stage in fruit if stage.bbch < _PICKED}
    luck = days.chance(plant.name, year, "growth")
    for key, usual in crop_years()[plant.crop].stages:
        if key not in stages or luck.random() > _SEEN:
            continue
        day = days.walked(usual.of(year) + days.early_or_late(year) + timedelta(days=luck.randint(-2, 4)))
        if not hit_hard(plant, days, day) and not only_stock_left(plant, days, day):
            yield Seen(plant.name, "growth", day, {"stage": stages[key].code})


def _flushes(plant: DemoPlant, days: Days, year: int) -> Iterator[Seen]:
    luck = days.chance(plant.name, year, "flushes")
    for usual in crop_years()[plant.crop].flushes:
        day = days.walked(usual.of(year) + days.early_or_late(year) + timedelta(days=luck.randint(0, 5)))
        age = days.age(plant, day)
        wanted = _FLUSHES_OF_YOUNG if age < _YOUNG else _FLUSHES_OF_OLD
        if luck.random() < wanted and not only_stock_left(plant, days, day):
            yield Seen(plant.name, "growth", day, {"stage": "shoots", "shoot_in": luck.randint(3, 11)})


def _measured(plant: DemoPlant, days: Days, year: int) -> Iterator[Seen]:
    size = crop_years()[plant.crop].size
    luck = days.chance(plant.name, year, "measured")
    day = days.early_in_the_year(year)
    age = days.age(plant, day)
    if size is None or age < 0.5 or luck.random() > _MEASURED or hit_hard(plant, days, day):
        return
    height = _height_ft(plant, size, age) * (1 - wood_lost(plant, days, year - 1))
    # Pruning takes a little more in one year than in another; two people hold the pole.
    details: dict[str, Any] = {"height_ft": round(height * 2) / 2 + luck.choice((-0.5, 0, 0, 0.5))}
    if size.girth_in and not only_stock_left(plant, days, day):
        girth = size.girth_in * (1 - math.exp(-1.7 * age / size.years))
        details["girth_in"] = round((girth * _IN_POT if plant.pot_gal else girth) * 4) / 4
    yield Seen(plant.name, "measured", day, details)


def _height_ft(plant: DemoPlant, size: Size, age: float) -> float:
    height = size.height_ft * min(1.0, 0.35 + 0.65 * age / size.years)
    if plant.pot_gal:
        height *= _IN_POT
    return min(height, plant.keep_ft + 0.5) if plant.keep_ft else height
