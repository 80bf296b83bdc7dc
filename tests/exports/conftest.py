"""A yard with something of everything."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cast import NOW, new_entry
from tests.photo_files import lay_photo
from walkabout.records import people, sessions, tasks
from walkabout.records.entries import keep_entries
from walkabout.records.plants import Plant


@pytest.fixture
def held_yard(yard: Path, plant: Plant, members: tuple[people.Person, people.Person]) -> Path:
    """The data folder of a yard with a plant, an entry with a photo, a task, a session and a link; it is open."""
    owner, keeper = members
    photo = lay_photo(yard, keeper, b"a photo" * 99_999)
    note = new_entry(plant, keeper, "note", words="=HYPERLINK(1)", photos=[photo])
    harvest = new_entry(plant, keeper, "harvest", weight_kg=3.5)
    assert [kept.word for kept in keep_entries([note, harvest])] == ["stored", "stored"]
    tasks.add_task(plant.id, "Cut back", NOW.date(), None, owner.id)
    sessions.start_session(owner.id, "phone", NOW)
    sessions.issue_link(keeper.id, NOW)
    return yard
