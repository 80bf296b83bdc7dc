"""Plants, spots, tags, tasks and finding them."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest

from tests.cast import NOW
from walkabout.errors import BadInput, NotFound
from walkabout.records import changes, entries, plants, spots, tags, tasks
from walkabout.records.people import Person
from walkabout.records.plants import Plant, PlantFacts


def names(search: str = "", **filters: Any) -> list[str]:
    return [plant.name for plant in plants.plants(search, **filters)]


@pytest.fixture
def three(members: object) -> list[Plant]:
    return plants.add_plants(
        [
            PlantFacts("Zwölfer", "apple", "Anna", spot="Row 2", x_m=1.0, y_m=4.0),
            PlantFacts("Old gate fig", "fig", spot="Row 1", container=True, container_litres=30.0),
            PlantFacts("Stump", "dragon fruit", state="dead"),
        ]
    )


def test_a_plant_is_recorded_with_all_its_facts(three: list[Plant]) -> None:
    found = plants.plant(three[0].id)
    assert found == three[0]
    assert found.spot is not None
    assert (found.spot.name, found.spot.x_m, found.spot.y_m) == ("Row 2", 1.0, 4.0)
    assert plants.plant("unknown") is None


def test_the_list_goes_by_spot_and_filters_join(three: list[Plant]) -> None:
    assert names() == ["Old gate fig", "Zwölfer", "Stump"]
    assert names(crop="fig") == ["Old gate fig"]
    assert names(states=["growing"]) == ["Old gate fig", "Zwölfer"]
    assert names(states=["growing"], crop="dragon fruit") == []
    assert plants.count_plants(states=["growing"]) == 2


@pytest.mark.parametrize(
    ("search", "found"),
    [
        ("ZWOLFER", ["Zwölfer"]),
        ("anna row", ["Zwölfer"]),
        ("gate apple", []),
        ("dragon", ["Stump"]),
        ("%", []),
        ("_", []),
        ("'; DROP TABLE plant; --", []),
        ("", ["Old gate fig", "Zwölfer", "Stump"]),
    ],
)
def test_search_finds_words_wherever_they_stand(three: list[Plant], search: str, found: list[str]) -> None:
    assert names(search=search) == found


def test_search_finds_a_tag_code_as_printed(three: list[Plant]) -> None:
    tags.issue_tag(three[1].id, lambda: "K7M4Q2C")
    assert names(search="k7m-4q2c") == ["Old gate fig"]


def test_a_changed_plant_makes_its_page_stale(three: list[Plant]) -> None:
    before = changes.page_changes()
    plants.change_plant(three[0].id, PlantFacts("Renamed", "apple"))
    after = changes.page_changes()
    assert after.pop(three[0].id) > before.pop(three[0].id)
    assert after == before
    assert names(search="renamed") == ["Renamed"]
    with pytest.raises(NotFound):
        plants.change_plant("unknown", PlantFacts("x", "apple"))


def test_moving_a_spot_makes_the_pages_of_all_that_stands_there_stale(three: list[Plant]) -> None:
    plants.add_plant(PlantFacts("Second", "apple", spot="row 2"))
    before = changes.page_changes()
    spots.save_spot("ROW 2", x_m=9.0)
    stale = {plant_id for plant_id, number in changes.page_changes().items() if number > before[plant_id]}
    assert {plants.plant(plant_id).name for plant_id in stale} == {"Zwölfer", "Second"}  # type: ignore[union-attr]
    assert spots.spot_by_name("Row 2") == spots.Spot(three[0].spot.id, "Row 2", 9.0, 4.0)  # type: ignore[union-attr]


def test_all_plants_of_a_list_are_added_or_none(members: object) -> None:
    with pytest.raises(Exception, match="CHECK"):
        plants.add_plants([PlantFacts("Good", "fig"), PlantFacts("Bad", "fig", state="sleeping")])
    assert plants.count_plants() == 0


def test_a_code_that_is_taken_is_drawn_again(three: list[Plant]) -> None:
    codes = iter(["AAAAAAA", "AAAAAAA", "BBBBBBB"])
    assert tags.issue_tag(three[0].id, lambda: next(codes)).code == "AAAAAAA"
    assert tags.issue_tag(three[1].id, lambda: next(codes)).code == "BBBBBBB"


def test_every_growing_plant_gets_the_tag_it_lacks(three: list[Plant]) -> None:
    numbers = iter(range(10))

    def make() -> str:
        return f"CODE00{next(numbers)}"

    assert tags.issue_missing(make) == 2
    assert tags.issue_missing(make) == 0
    assert plants.plant(three[2].id).code is None  # type: ignore[union-attr]


def test_a_retired_tag_still_leads_to_its_plant(three: list[Plant]) -> None:
    tags.issue_tag(three[0].id, lambda: "OLDC0DE")
    retired = tags.retire_tag("OLDC0DE", NOW)
    assert (retired.state, retired.plant_id) == ("retired", three[0].id)
    assert tags.tag("OLDC0DE") == retired == tags.retire_tag("OLDC0DE", NOW)
    assert plants.plant(three[0].id).code is None  # type: ignore[union-attr]
    with pytest.raises(NotFound):
        tags.retire_tag("UNKNOWN", NOW)


def test_a_tag_that_was_taken_back_hangs_on_another_plant(three: list[Plant]) -> None:
    first, second, dead = three
    tags.issue_tag(first.id, lambda: "FR0MONE")
    with pytest.raises(BadInput, match="not growing"):
        tags.give_tag("FR0MONE", dead.id)
    before = changes.page_changes()
    given = tags.give_tag("FR0MONE", second.id)
    after = changes.page_changes()
    assert after[first.id] > before[first.id]
    assert after[second.id] > before[second.id]
    assert tags.tag("FR0MONE") == given
    assert plants.plant(first.id).code is None  # type: ignore[union-attr]
    assert plants.plant(second.id).code == "FR0MONE"  # type: ignore[union-attr]
    tags.issue_tag(first.id, lambda: "AN0THER")
    with pytest.raises(BadInput, match="bears a tag already"):
        tags.give_tag("AN0THER", second.id)
    tags.retire_tag("FR0MONE", NOW)
    assert tags.give_tag("FR0MONE", second.id).state == "hanging"  # a retired one too
    for code, plant_id in (("UNKNOWN", second.id), ("AN0THER", "unknown")):
        with pytest.raises(NotFound):
            tags.give_tag(code, plant_id)


def test_a_task_is_done_while_an_entry_says_so(
    plant: Plant, members: tuple[Person, Person], make_entry: Callable[..., entries.NewEntry]
) -> None:
    owner = members[0]
    cut = tasks.add_task(plant.id, "Cut back", date(2026, 2, 1), date(2026, 3, 1), owner.id)
    later = tasks.add_task(plant.id, "Feed", date(2026, 2, 1), None, owner.id)
    assert tasks.open_tasks(plant.id) == [cut, later]
    entries.keep_entries([make_entry("d", kind="done", subject=cut.id, seen_on=date(2026, 2, 9))])
    assert tasks.open_tasks(plant.id) == [later]
    assert tasks.task(cut.id).done_on == date(2026, 2, 9)  # type: ignore[union-attr]
    entries.keep_entries([make_entry("w", kind="withdrawal", withdraws="d")])
    assert tasks.open_tasks(plant.id) == [cut, later]
    with pytest.raises(BadInput, match="before the first"):
        tasks.add_task(plant.id, "Never", date(2026, 2, 1), date(2026, 1, 1), owner.id)
