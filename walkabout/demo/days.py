"""The days of the demo, all counted from the day on which it is built."""

import random
from dataclasses import dataclass
from datetime import date, timedelta

from walkabout.demo.tables import DemoPlant, MonthDay, events_table, yard_table

SEASONS = 4
_DRY = 0.6  # chance of each dry spell
_BETWEEN_FROSTS = 9  # days


@dataclass(frozen=True, slots=True)
class Days:
    """When things were.

    Attributes:
        today: the civil date in the yard.
        seed: of all chance.
    """

    today: date
    seed: int

    @property
    def first(self) -> date:
        """The day on which the records begin."""
        return self.today - timedelta(days=SEASONS * 365)

    @property
    def last(self) -> date:
        """Yesterday: an entry of today might lie ahead of the clock."""
        return self.today - timedelta(days=1)

    @property
    def freeze(self) -> date:
        """The night of the hard freeze: late enough to be told of, early enough for the recovery to show."""
        return MonthDay.read(events_table()["freeze"]["on"]).of((self.today - timedelta(days=200)).year)

    def years(self) -> range:
        """Calendar years that the records touch; the one before counts for crops picked over New Year."""
        return range(self.first.year - 1, self.today.year + 1)

    def ago(self, years: int, month_day: str) -> date:
        """A day of so many calendar years back."""
        return MonthDay.read(month_day).of(self.today.year - years)

    def chance(self, *names: object) -> random.Random:
        """Chance that is the same for the same names, whatever else the demo holds."""
        return random.Random(f"{self.seed}/{'/'.join(map(str, names))}")  # noqa: S311 -- a story, not a secret

    def walked(self, day: date) -> date:
        """The day on which it was seen: the next one on which somebody walks the yard."""
        walk_days = yard_table()["walk_days"]
        return next(
            walked
            for walked in (day + timedelta(days=wait) for wait in range(7))
            if walked.weekday() in walk_days
        )

    def early_in_the_year(self, year: int) -> date:
        """The day on which the tape goes round the yard: while most of it is bare."""
        return self.walked(date(year, 1, 18) + timedelta(days=self.chance("tape", year).randint(0, 9)))

    def early_or_late(self, year: int) -> timedelta:
        """How far the whole yard runs ahead or behind in a year."""
        return timedelta(days=self.chance("year", year).randint(-6, 6))

    def dry_spells(self, year: int) -> tuple[tuple[date, date], ...]:
        """First and last day of the weeks without rain in a year; none to three."""
        luck = self.chance("dry", year)
        spells = []
        for begins in map(MonthDay.read, yard_table()["dry_spells"]):
            first = begins.of(year) + timedelta(days=luck.randint(0, 25))
            if luck.random() < _DRY:
                spells.append((first, first + timedelta(days=luck.randint(13, 20))))
        return tuple(spells)

    def light_frosts(self, year: int) -> tuple[date, ...]:
        """Evenings before a light frost in the winter that ends in a year; away from the hard freeze."""
        luck = self.chance("light frost", year)
        begins = date(year - 1, 12, 6)
        nights = (begins + timedelta(days=luck.randint(*window)) for window in ((0, 20), (44, 66)))
        return tuple(night for night in nights if abs((night - self.freeze).days) > _BETWEEN_FROSTS)

    def planted(self, plant: DemoPlant) -> date | None:
        """When a plant was set; None while it is only wanted or ordered."""
        if plant.age is None:
            return None
        day = self.chance(plant.name, "planted").randint(3, 26)
        return date(self.today.year - plant.age, plant.month or 2, day)

    def age(self, plant: DemoPlant, on: date) -> float:
        """Years since planting; below zero before it, and for a plant that is not here yet."""
        planted = self.planted(plant)
        return (on - planted).days / 365.25 if planted else -1.0

    def ended(self, plant: DemoPlant) -> date | None:
        """From when on nothing is seen of a plant; None while it grows."""
        if plant.ended is None:
            return None
        if "after_freeze" in plant.ended:
            return self.freeze + timedelta(days=int(plant.ended["after_freeze"]))
        return self.ago(int(plant.ended["ago"]), str(plant.ended["on"]))
