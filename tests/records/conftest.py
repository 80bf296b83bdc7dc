"""Entries as records take them, already checked."""

from collections.abc import Callable
from datetime import date

import pytest

from walkabout.records import entries
from walkabout.records.entries import NewEntry
from walkabout.records.people import Person
from walkabout.records.plants import Plant


@pytest.fixture
def make_entry(plant: Plant, members: tuple[Person, Person]) -> Callable[..., NewEntry]:
    """Makes an entry about the plant: ``make_entry("a", 3, replaces="b")`` has id a and was made at second 3."""
    owner, _ = members

    def making(name: str, at: int = 0, **fields: object) -> NewEntry:
        values: dict[str, object] = {
            "id": name,
            "plant_id": plant.id,
            "kind": "withdrawal" if fields.get("withdraws") else "note",
            "subject": "",
            "seen_on": date(2026, 3, 1),
            "made_at": f"2026-03-01T10:00:{at:02d}.000+02:00",
            "clock_difference": None,
            "details": {"text": name},
            "replaces": None,
            "withdraws": None,
            "author_id": owner.id,
            "device": "phone",
            "form": 1,
            "fingerprint": entries.fingerprint([name, at, str(fields)]),
        }
        return NewEntry(**{**values, **fields})  # type: ignore[arg-type]

    return making
