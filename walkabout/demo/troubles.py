"""Pests, diseases and disorders of the demo, and the later looks at them."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from random import Random
from typing import Any

from walkabout.demo.bearing import bears
from walkabout.demo.days import Days
from walkabout.demo.seen import Seen, share_words
from walkabout.demo.tables import DemoPlant, Look, crop_years
from walkabout.demo.weather import hit_hard, only_stock_left
from walkabout.reference.problems import problems

_LOOKED_AGAIN = 0.94
_OLD_TREE = 6  # years; older trees carry mined leaves without much show
_PARTS = {
    "young leaves": "young_leaves", "leaves": "leaves", "new leaves": "leaves", "leaf undersides": "leaves",
    "new shoots": "shoots", "shoots": "shoots", "shoot tips": "shoots", "blossoms": "flowers", "canes": "limbs",
    "fruit": "fruit", "young fruit": "fruit", "ripening fruit": "fruit", "fruit skin": "fruit",
    "trunk base": "bark", "pruning wounds": "limbs", "leaf tips": "leaves", "whole tree": "whole", "roots": "roots",
}  # fmt: skip


def troubles(plant: DemoPlant, days: Days, year: int) -> Iterator[Seen]:
    """What hurt a plant in a year."""
    for look in crop_years()[plant.crop].looks:
        yield from _looks(plant, look, days, year)


def _looks(plant: DemoPlant, look: Look, days: Days, year: int) -> Iterator[Seen]:
    # A flush, a moth flight, a wet week come to the whole yard at once: the day is chance of the year,
    # whether this plant has it is chance of the plant.
    flight = days.chance(look.problem, look.begins, year)
    luck = days.chance(plant.name, look.problem, look.begins, year)
    if luck.random() > look.chance or days.age(plant, look.begins.of(year)) < 0.3:
        return
    window = (look.ends.of(year) - look.begins.of(year)).days
    day = days.walked(look.begins.of(year) + timedelta(days=flight.randint(0, window)))
    if _has_nothing_to_eat(plant, look, days, year, day):
        return
    share = luck.uniform(look.low, look.high)
    if look.problem == "citrus_leafminer" and days.age(plant, day) > _OLD_TREE:
        share *= 0.4
    details = {"problem": look.problem, "share": share_words(share)}
    if part := _part(look):
        details["part"] = part
    yield Seen(plant.name, "pest", day, details)
    yield from _looked_again(plant, details, share, day, days, luck)


def _has_nothing_to_eat(plant: DemoPlant, look: Look, days: Days, year: int, day: date) -> bool:
    on_fruit = _part(look) == "fruit" and not bears(plant, days, year)
    return on_fruit or hit_hard(plant, days, day) or only_stock_left(plant, days, day)


def _looked_again(
    plant: DemoPlant, first: Mapping[str, Any], share: float, day: date, days: Days, luck: Random
) -> Iterator[Seen]:
    """The later looks at a problem, each after the days that the books ask for, until it is gone or forgotten."""
    problem = first["problem"]
    while share and luck.random() < _LOOKED_AGAIN:
        day = days.walked(day + timedelta(days=problems()[problem].recheck_days))
        share = 0 if share < 20 or luck.random() < 0.4 else share / 2
        again = {**first, "share": share_words(share)} if share else {"problem": problem, "seen": "none"}
        yield Seen(plant.name, "pest", day, again)


def _part(look: Look) -> str | None:
    """Where it shows, in the words of the form."""
    return look.part or _PARTS.get(problems()[look.problem].parts[0])
