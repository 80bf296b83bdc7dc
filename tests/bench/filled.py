"""Yards filled for measuring: invented plants in rows, with invented entries over ten seasons."""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.cast import NOW, gather, new_entry, set_up_yard
from walkabout.app import create_app
from walkabout.records import people, plants, tags
from walkabout.records.database import close_database, open_database
from walkabout.records.entries import NewEntry, keep_entries
from walkabout.tags.codes import make_code

if TYPE_CHECKING:
    from flask import Flask
    from werkzeug.test import TestResponse

    from tests.cast import Cast

CROPS = ("apple", "peach", "fig", "grape", "pear", "mandarin")
SEASONS = 10
AT_ONCE = 2000


@dataclass(frozen=True)
class Filled:
    """A filled yard, open, with its app and its cast."""

    app: Flask
    cast: Cast
    plants: list[plants.Plant]

    def page(self, address: str) -> TestResponse:
        """One page as the keeper's browser asks for it."""
        answer = self.cast.keeper.get(address, headers={"Accept-Encoding": "gzip"})
        assert answer.status_code == 200, answer.status
        return answer


def invented(
    plant: plants.Plant,
    author: people.Person,
    chance: random.Random,
    made_at: datetime = NOW,
    days: int = SEASONS * 365,
) -> NewEntry:
    """One entry about a plant, seen on one of so many days up to the one it was made on."""
    seen_on = made_at.date() - timedelta(days=1 + chance.randrange(days))
    kind, subject, details = chance.choice(
        (
            ("harvest", "", {"weight_kg": round(chance.uniform(0.1, 20), 3)}),
            ("bloom", "crop", {"stage": "crop/65"}),
            ("pest", "any", {"seen": "none"}),
            ("note", "", {"words": f"Looked over, shoot {chance.randrange(9)}"}),
        )
    )
    return new_entry(plant, author, kind, subject=subject, seen_on=seen_on, made_at=made_at, **details)


def fill(folder: Path, plant_count: int, entry_count: int) -> tuple[people.Person, people.Person]:
    """Fill a data folder; entries fall on the plants evenly. Leaves its database open."""
    chance = random.Random(entry_count)
    open_database(folder, create=True)
    members = set_up_yard()
    made = plants.add_plants(
        plants.PlantFacts(
            name=f"Row {number // 20 + 1} tree {number % 20 + 1}",
            crop=CROPS[number % len(CROPS)],
            planted="2015-03-01",
            spot=f"Row {number // 20 + 1}",
        )
        for number in range(plant_count)
    )
    tags.issue_missing(make_code)
    for start in range(0, entry_count, AT_ONCE):
        keep_entries(
            [
                invented(made[number % plant_count], members[1], chance)
                for number in range(start, min(start + AT_ONCE, entry_count))
            ]
        )
    return members


@contextmanager
def filled(folder: Path, plant_count: int, entry_count: int) -> Iterator[Filled]:
    """Fill a data folder and open it as the app does."""
    people.PASSWORD_METHOD = "scrypt:256:8:1"
    members = fill(folder, plant_count, entry_count)
    app = create_app(folder, {"CLOCK": lambda: NOW, "TESTING": True})
    try:
        yield Filled(app, gather(app, *members), plants.plants())
    finally:
        close_database()


def as_sent(entry: NewEntry) -> dict[str, Any]:
    """An invented entry as a phone would send it."""
    return {
        "id": entry.id,
        "plant": entry.plant_id,
        "kind": entry.kind,
        "seen_on": entry.seen_on.isoformat() if isinstance(entry.seen_on, date) else entry.seen_on,
        "made_at": entry.made_at,
        "clock_difference": entry.clock_difference,
        "details": dict(entry.details),
        "replaces": None,
        "withdraws": None,
        "author": entry.author_id,
        "device": entry.device,
        "form": entry.form,
    }
