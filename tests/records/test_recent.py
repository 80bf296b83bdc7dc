"""What was noted last. Invented entries."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from tests.cast import NOW, TODAY, new_entry
from walkabout.records.entries import keep_entries
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.records.recent import LOOKED_AT, chosen_by, latest_answered, latest_works

Members = tuple[Person, Person]
LONG_AGO = date(2000, 1, 1)


@pytest.fixture
def keep(plant: Plant, members: Members) -> Callable[..., str]:
    """Keeps an entry of so many days ago; gives its id."""

    def keep_one(kind: str, days: int, by: Person = members[1], **values: Any) -> str:
        made_at = NOW - timedelta(days=days)
        entry = new_entry(plant, by, kind, seen_on=TODAY - timedelta(days=days), made_at=made_at, **values)
        assert [answer.word for answer in keep_entries([entry])] == ["stored"]
        return entry.id

    return keep_one


def test_each_work_has_its_latest_entry(plant: Plant, keep: Callable[..., str]) -> None:
    several = keep("done", 9, work=["pruned", "watered"], subject="pruned")
    keep("done", 20, work=["watered"], subject="watered")
    pruned = keep("done", 2, work=["pruned"], subject="pruned")
    keep("done", 1, words="Staked")
    found = latest_works(plant.id, ("watered", "pruned", "fed"), LONG_AGO)
    assert {work: entry.id for work, entry in found.items()} == {"watered": several, "pruned": pruned}
    assert latest_works(plant.id, ("watered",), TODAY - timedelta(days=8)) == {}


def test_a_work_that_was_taken_back_does_not_count(plant: Plant, keep: Callable[..., str]) -> None:
    first = keep("done", 9, work=["watered"], subject="watered")
    second = keep("done", 2, work=["watered"], subject="watered")
    keep("withdrawal", 1, withdraws=second)
    assert latest_works(plant.id, ("watered",), LONG_AGO)["watered"].id == first


def test_the_latest_that_answers_a_field(plant: Plant, keep: Callable[..., str]) -> None:
    picked = keep("harvest", 9, weight_kg=2.0)
    keep("harvest", 1, ripe="not_yet")
    found = latest_answered(plant.id, "harvest", ("weight_kg", "count", "rough"))
    assert found is not None
    assert found.id == picked
    assert latest_answered(plant.id, "harvest", ("lost",)) is None


def test_entries_of_merged_plants_count(
    plant: Plant, make_plant: Callable[..., Plant], keep: Callable[..., str]
) -> None:
    watered = keep("done", 3, work=["watered"], subject="watered")
    picked = keep("harvest", 9, count=2)
    other = make_plant("The same again")
    assert latest_works(other.id, ("watered",), LONG_AGO) == {}
    assert latest_works(other.id, ("watered",), LONG_AGO, merged=[plant.id])["watered"].id == watered
    found = latest_answered(other.id, "harvest", ("count",), merged=[plant.id])
    assert found is not None
    assert found.id == picked


def test_what_a_person_chose_last(plant: Plant, keep: Callable[..., str], members: Members) -> None:
    owner, keeper = members
    keep("note", 9, words="Long ago")
    first = keep("pest", 2, problem="ants", subject="ants")
    keep("note", 1, owner, words="Another's")
    second = keep("note", 1, words="Mine")
    keep("withdrawal", 0, withdraws=second)
    since = TODAY - timedelta(days=7)
    assert [entry.id for entry in chosen_by(keeper.id, since, 5)] == [second, first]
    assert [entry.id for entry in chosen_by(keeper.id, since, 1)] == [second]
    assert [entry.details["words"] for entry in chosen_by(owner.id, since, 5)] == ["Another's"]


def test_only_the_latest_entries_of_the_yard_are_looked_at(
    plant: Plant, keep: Callable[..., str], members: Members
) -> None:
    keep("note", 0, words="Mine")
    others = [new_entry(plant, members[0], "note", words=str(number)) for number in range(LOOKED_AT)]
    assert {answer.word for answer in keep_entries(others)} == {"stored"}
    assert chosen_by(members[1].id, TODAY, 5) == []
