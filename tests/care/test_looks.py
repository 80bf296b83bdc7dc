"""Which plants need a look. The rule is judgement, stated in the module; it must agree with what the pages say."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.cast import NOW, TODAY, new_entry, plant_one
from walkabout.care import plant_view
from walkabout.care.looks import UNSEEN_DAYS, Reasons, need_a_look, open_problems
from walkabout.records import plants, tasks, yards
from walkabout.records.entries import keep_entries
from walkabout.records.looks import Problem
from walkabout.records.merges import merge_plants
from walkabout.records.people import Person
from walkabout.records.plants import Plant, PlantFacts

Members = tuple[Person, Person]
SCALE = {"subject": "scale", "problem": "scale", "seen": "yes"}
NONE = {"subject": "scale", "problem": "scale", "seen": "none"}
NONE_AT_ALL = {"subject": "any", "problem": "any", "seen": "none"}


def note(plant: Plant, members: Members, days_ago: int, kind: str = "pest", **details: Any) -> None:
    keep_entries([new_entry(plant, members[1], kind, seen_on=TODAY - timedelta(days=days_ago), **details)])


def test_a_problem_is_open_until_it_was_looked_for_and_not_found(plant: Plant, members: Members) -> None:
    note(plant, members, 5, **SCALE)
    assert need_a_look(TODAY) == {plant.id: Reasons(problems=1, due=False, unseen_days=None)}
    note(plant, members, 4, **NONE)
    assert need_a_look(TODAY) == {}
    note(plant, members, 3, **SCALE)
    note(plant, members, 2, **NONE_AT_ALL)
    assert need_a_look(TODAY) == {}


def test_work_that_is_due(plant: Plant, members: Members) -> None:
    task = tasks.add_task(plant.id, "Cut back", TODAY, None, members[0].id)
    tasks.add_task(plant.id, "Feed", TODAY + timedelta(days=1), None, members[0].id)
    assert need_a_look(TODAY)[plant.id].due
    note(plant, members, 0, "done", subject=task.id, task=task.id)
    assert need_a_look(TODAY) == {}


def test_work_is_ticked_off_on_any_record_of_a_plant(plant: Plant, members: Members) -> None:
    doubles = [plant_one(name, "fig") for name in ("Second time", "Third time")]
    task = tasks.add_task(doubles[0].id, "Cut back", TODAY, None, members[0].id)
    for double in doubles:
        merge_plants(double.id, plant.id)
    assert need_a_look(TODAY)[plant.id].due
    note(doubles[1], members, 0, "done", subject=task.id, task=task.id)
    assert need_a_look(TODAY) == {}


@pytest.mark.parametrize(("days", "needs"), [(UNSEEN_DAYS - 1, False), (UNSEEN_DAYS, True), (400, True)])
def test_a_plant_that_nobody_looked_at(plant: Plant, members: Members, days: int, needs: bool) -> None:
    note(plant, members, days, "note", words="Fine")
    assert need_a_look(TODAY) == ({plant.id: Reasons(0, due=False, unseen_days=days)} if needs else {})


def test_one_that_was_never_noted_counts_from_the_day_of_recording(plant: Plant) -> None:
    recorded = date.fromisoformat(plant.made_at[:10])
    assert need_a_look(recorded) == {}
    assert plant.id in need_a_look(recorded + timedelta(days=UNSEEN_DAYS))


def test_only_growing_plants_and_their_doubles_with_them(plant: Plant, members: Members) -> None:
    twice = plant_one("Gate fig", "fig")
    note(twice, members, 5, **SCALE)
    merge_plants(twice.id, plant.id)
    assert set(need_a_look(TODAY)) == {plant.id}
    plants.change_plant(plant.id, PlantFacts(plant.name, plant.crop, state="dead"))
    assert need_a_look(TODAY) == {}


def test_one_statement_however_many_plants(
    plant: Plant, members: Members, count_queries: Callable[[], AbstractContextManager[list[str]]]
) -> None:
    for number in range(30):
        note(plant_one(f"Fig {number}", "fig"), members, number, **SCALE)
    with count_queries() as queries:
        assert len(need_a_look(TODAY)) == 30
    assert len([query for query in queries if "FROM entry" in query or "JOIN entry" in query]) == 1
    assert len(queries) == 2  # and which plants were merged


told = st.lists(
    st.tuples(st.sampled_from([SCALE, NONE, NONE_AT_ALL, {**SCALE, "subject": "rust", "problem": "rust"}]), st.integers(0, 500)),
    max_size=6,
)  # fmt: skip


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(told=told)
def test_the_list_and_the_page_say_the_same(members: Members, told: list[tuple[dict[str, str], int]]) -> None:
    plant = plant_one("Fig", "fig")
    for place, (details, days_ago) in enumerate(told):
        made = NOW + timedelta(seconds=place)
        day = TODAY - timedelta(days=days_ago)
        keep_entries([new_entry(plant, members[1], "pest", seen_on=day, made_at=made, **details)])
    view = plant_view.load(plant, yards.the_yard(), TODAY)
    found = need_a_look(TODAY).get(plant.id)
    assert (found.problems if found else 0) == len(view.status.troubles)


def test_problems_of_merged_plants_are_one() -> None:
    earlier = Problem("2026-05-01", 5, "a", "scale", "yes")
    later = Problem("2026-05-02", 1, "b", "scale", "none")
    assert open_problems([later, earlier]) == set()
    assert open_problems([earlier._replace(seen_on="2026-05-03"), later]) == {"scale"}
