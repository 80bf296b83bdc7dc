"""The days of the demo, all counted from the day on which it is built."""

import random
from dataclasses import dataclass
from datetime import date, timedelta

from walkabout.demo.tables import DemoPlant, MonthDay, yard_table

SEASONS = 4


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
        return MonthDay.read(yard_table()["freeze"]["on"]).of((self.today - timedelta(days=200)).year)

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

    def early_or_late(self, year: int) -> timedelta:
        """How far the whole yard runs ahead or behind in a year."""
        return timedelta(days=self.chance("year", year).randint(-6, 6))

    def planted(self, plant: DemoPlant) -> date:
        """When a plant was set."""
        day = self.chance(plant.name, "planted").randint(3, 26)
        return date(self.today.year - plant.age, plant.month or 2, day)

    def ended(self, plant: DemoPlant) -> date | None:
        """From when on nothing is seen of a plant; None while it grows."""
        if plant.ended is None:
            return None
        if "after_freeze" in plant.ended:
            return self.freeze + timedelta(days=int(plant.ended["after_freeze"]))
        return self.ago(int(plant.ended["ago"]), str(plant.ended["on"]))
