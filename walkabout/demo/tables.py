"""The tables of the demo, read and given types."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

_FOLDER = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class MonthDay:
    """A usual day of the year."""

    month: int
    day: int

    @classmethod
    def read(cls, text: str) -> "MonthDay":
        """From "MM-DD"."""
        month, day = text.split("-")
        return cls(int(month), int(day))

    def of(self, year: int) -> date:
        """That day of a year."""
        return date(year, self.month, self.day)


@dataclass(frozen=True, slots=True)
class Harvest:
    """When and how much a crop bears. Ages in years from planting, weights in kg; `off` is a share of 1."""

    begins: MonthDay
    ends: MonthDay
    picks: int
    full_kg: float
    bears: int
    full: int
    off: float
    each_kg: float | None


@dataclass(frozen=True, slots=True)
class Look:
    """A problem that may be seen between two days, by chance each year, with the share hit in percent."""

    problem: str
    begins: MonthDay
    ends: MonthDay
    chance: float
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class CropYear:
    """The year of a crop."""

    stages: tuple[tuple[str, MonthDay], ...]
    harvest: Harvest
    looks: tuple[Look, ...]
    works: tuple[tuple[str, MonthDay, float], ...]


@dataclass(frozen=True, slots=True)
class DemoPlant:
    """A plant of the demo. `age` counts calendar years; `ended_ago` years back, `ended_after_freeze` days."""

    name: str
    crop: str
    age: int
    month: int | None
    spot: str
    x: float
    y: float
    cultivar: str = ""
    rootstock: str = ""
    raised: str = ""
    litres: float | None = None
    about: bool = False
    state: str = "growing"
    ended: Mapping[str, Any] | None = None


@cache
def yard_table() -> Mapping[str, Any]:
    """yard.toml as it is."""
    return _read("yard")


@cache
def demo_plants() -> tuple[DemoPlant, ...]:
    """The plants, in walking order of the table."""
    return tuple(DemoPlant(**{"month": None, **row}) for row in yard_table()["plant"])


@cache
def crop_years() -> Mapping[str, CropYear]:
    """calendar.toml by crop key."""
    return {crop: _crop_year(row) for crop, row in _read("calendar").items()}


def _crop_year(row: Mapping[str, Any]) -> CropYear:
    harvest = row["harvest"]
    return CropYear(
        stages=tuple((key, MonthDay.read(day)) for key, day in row["stages"]),
        harvest=Harvest(
            begins=MonthDay.read(harvest["from"]),
            ends=MonthDay.read(harvest["to"]),
            picks=harvest["picks"],
            full_kg=harvest["full_kg"],
            bears=harvest["bears"],
            full=harvest["full"],
            off=harvest["off"],
            each_kg=harvest.get("each_kg"),
        ),
        looks=tuple(
            Look(problem, MonthDay.read(begins), MonthDay.read(ends), *rest)
            for problem, begins, ends, *rest in row["looks"]
        ),
        works=tuple((words, MonthDay.read(day), chance) for words, day, chance in row["works"]),
    )


def _read(name: str) -> dict[str, Any]:
    with (_FOLDER / f"{name}.toml").open("rb") as file:
        return tomllib.load(file)
