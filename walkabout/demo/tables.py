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
    """When and how much a crop bears. Ages in years from planting, weights in kg; `off` is a share of 1.

    `early_on` is about when an early crop on last year's wood ripens, where there is one.
    """

    begins: MonthDay
    ends: MonthDay
    picks: int
    full_kg: float
    bears: int
    full: int
    off: float
    each_kg: float | None
    early_on: MonthDay | None


@dataclass(frozen=True, slots=True)
class Look:
    """A problem that may be seen between two days, by chance each year, with the share hit in percent.

    `part` is where it is looked for; "" where the books say first.
    """

    problem: str
    begins: MonthDay
    ends: MonthDay
    chance: float
    low: int
    high: int
    part: str = ""


@dataclass(frozen=True, slots=True)
class Size:
    """A full-grown plant: height in feet, years to it, girth of the trunk in inches (none for a bush)."""

    height_ft: float
    years: int
    girth_in: float | None = None


@dataclass(frozen=True, slots=True)
class Work:
    """What is done about a day of the year, by chance each year.

    Attributes:
        do: as the form of work done takes it.
        ages: of the plants on which it is done, in years.
        pots: only on plants in pots, or only on those in the ground; None for both.
        amount: name of the amount that grows with the plant: `each_age` for each year, `most` at most.
        undone_on, undo: the day in the months after on which it is undone, and how.
    """

    on: MonthDay
    chance: float
    do: Mapping[str, Any]
    ages: tuple[float, float] = (0.2, 99.0)
    pots: bool | None = None
    amount: str = ""
    each_age: float = 0.0
    most: float = 0.0
    undone_on: MonthDay | None = None
    undo: Mapping[str, Any] | None = None


@dataclass(frozen=True, slots=True)
class CropYear:
    """The year of a crop. `flushes` are days of later flushes, after that of spring; a row of canes has no size."""

    stages: tuple[tuple[str, MonthDay], ...]
    flushes: tuple[MonthDay, ...]
    size: Size | None
    harvest: Harvest
    looks: tuple[Look, ...]
    works: tuple[Work, ...]


@dataclass(frozen=True, slots=True)
class DemoLimb:
    """A limb with a cultivar of its own, grafted so many calendar years ago about a day."""

    name: str
    cultivar: str
    grafted_ago: int
    grafted_on: str
    tagged: bool = False


@dataclass(frozen=True, slots=True)
class DemoPlant:
    """A plant of the demo.

    Attributes:
        age: calendar years since planting; None for one that is not here yet.
        raised_from, merged_into: names of plants.
        pot_gal: volume of its pot in US gallons; None in the ground.
        keep_ft: height at which it is to be kept.
        ended: when nothing was seen of it any more, as calendar years back and a day, or days after the freeze.
    """

    name: str
    crop: str
    spot: str
    age: int | None = None
    month: int | None = None
    x: float | None = None
    y: float | None = None
    cultivar: str = ""
    rootstock: str = ""
    raised: str = ""
    raised_from: str = ""
    source: str = ""
    pot_gal: float | None = None
    about: bool = False
    training: str = ""
    keep_ft: float | None = None
    state: str = "growing"
    ended: Mapping[str, Any] | None = None
    ended_why: str = ""
    merged_into: str = ""
    limbs: tuple[DemoLimb, ...] = ()

    @property
    def lived(self) -> bool:
        """Whether it has a life of its own to tell of: it was planted, and is not another plant put down twice."""
        return self.age is not None and not self.merged_into


@cache
def yard_table() -> Mapping[str, Any]:
    """yard.toml as it is."""
    return _read("yard")


@cache
def events_table() -> Mapping[str, Any]:
    """events.toml as it is."""
    return _read("events")


@cache
def demo_plants() -> tuple[DemoPlant, ...]:
    """The plants, in the order of the table."""
    return tuple(
        DemoPlant(**{**row, "limbs": tuple(DemoLimb(**limb) for limb in row.get("limbs", ()))})
        for row in yard_table()["plant"]
    )


@cache
def crop_years() -> Mapping[str, CropYear]:
    """calendar.toml by crop key."""
    rows = _read("calendar")
    return {crop: _crop_year(row, rows[row.get("works_of", crop)]["works"]) for crop, row in rows.items()}


def _crop_year(row: Mapping[str, Any], works: list[Mapping[str, Any]]) -> CropYear:
    harvest = row["harvest"]
    return CropYear(
        stages=tuple((key, MonthDay.read(day)) for key, day in row["stages"]),
        flushes=tuple(map(MonthDay.read, row.get("flushes", ()))),
        size=Size(**row["size"]) if "size" in row else None,
        harvest=Harvest(
            begins=MonthDay.read(harvest["from"]),
            ends=MonthDay.read(harvest["to"]),
            picks=harvest["picks"],
            full_kg=harvest["full_kg"],
            bears=harvest["bears"],
            full=harvest["full"],
            off=harvest["off"],
            each_kg=harvest.get("each_kg"),
            early_on=MonthDay.read(harvest["early"]) if "early" in harvest else None,
        ),
        looks=tuple(
            Look(problem, MonthDay.read(begins), MonthDay.read(ends), *rest)
            for problem, begins, ends, *rest in row["looks"]
        ),
        works=tuple(map(_work, works)),
    )


def _work(row: Mapping[str, Any]) -> Work:
    low, high = row.get("ages", (0.2, 99.0))
    undone = MonthDay.read(row["undone_on"]) if "undone_on" in row else None
    return Work(**{**row, "on": MonthDay.read(row["on"]), "ages": (low, high), "undone_on": undone})


def _read(name: str) -> dict[str, Any]:
    with (_FOLDER / f"{name}.toml").open("rb") as file:
        return tomllib.load(file)
