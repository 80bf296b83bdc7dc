"""What was noted last. Invented entries."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from tests.cast import NOW, TODAY, new_entry
from walkabout.records.entries import keep_entries
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.records.recent import LOOKED_AT, Answered, Lasting, Recent, chosen_by, recent

Members = tuple[Person, Person]
LONG_AGO = date(2000, 1, 1)


PICKED = Answered("harvest", ("weight_kg", "count", "rough"))
LOST = Answered("harvest", ("lost",))


def look(plant: Plant, *works: str, since: date = LONG_AGO, merged: tuple[str, ...] = ()) -> Recent:
    """What was noted last: of these works, picked, lost, and the longest wait."""
    return recent(
        plant.id,
        since,
        works=works,
        answered=(PICKED, LOST),
        lasting=Lasting("done", "days_before_harvest"),
        merged=merged,
    )


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
    found = look(plant, "watered", "pruned", "fed").works
    assert {work: entry.id for work, entry in found.items()} == {"watered": several, "pruned": pruned}
    assert look(plant, "watered", since=TODAY - timedelta(days=8)).works == {}


def test_a_work_that_was_taken_back_does_not_count(plant: Plant, keep: Callable[..., str]) -> None:
    first = keep("done", 9, work=["watered"], subject="watered")
    second = keep("done", 2, work=["watered"], subject="watered")
    keep("withdrawal", 1, withdraws=second)
    assert look(plant, "watered").works["watered"].id == first


def test_the_latest_that_answers_a_field(plant: Plant, keep: Callable[..., str]) -> None:
    picked = keep("harvest", 9, weight_kg=2.0)
    keep("harvest", 1, ripe="not_yet")
    found, lost = look(plant).answered
    assert found is not None
    assert (found.id, lost) == (picked, None)


def test_the_wait_that_ends_last_counts(plant: Plant, keep: Callable[..., str]) -> None:
    assert look(plant).lasting is None
    long = keep("done", 10, work=["sprayed"], days_before_harvest=21)
    keep("done", 2, work=["sprayed"], days_before_harvest=3)
    keep("done", 1, work=["sprayed"])
    found = look(plant, "sprayed")
    assert found.lasting is not None
    assert found.lasting.id == long
    assert found.works["sprayed"].seen_on == TODAY - timedelta(days=1)
    assert look(plant, since=TODAY - timedelta(days=1)).lasting is None


def test_entries_of_merged_plants_count(
    plant: Plant, make_plant: Callable[..., Plant], keep: Callable[..., str]
) -> None:
    watered = keep("done", 3, work=["watered"], subject="watered")
    picked = keep("harvest", 9, count=2)
    other = make_plant("The same again")
    assert look(other, "watered").works == {}
    found = look(other, "watered", merged=(plant.id,))
    assert found.works["watered"].id == watered
    assert found.answered[0] is not None
    assert found.answered[0].id == picked


def test_one_query(plant: Plant, keep: Callable[..., str], count_queries: Callable[..., Any]) -> None:
    for days in range(30):
        keep("done", days, work=["watered", "sprayed"], days_before_harvest=days)
        keep("harvest", days, count=days, lost=["birds"])
    with count_queries() as queries:
        found = look(plant, "watered", "sprayed")
    assert len(queries) == 1
    assert found.answered[0] == found.answered[1]


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
