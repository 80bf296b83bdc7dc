"""Which pages a phone keeps, and when their versions change."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

from tests.cast import NOW, TODAY, new_entry
from walkabout.records import plants, tags, yards
from walkabout.records.database import writing
from walkabout.records.entries import keep_entries
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.sync import pages
from walkabout.tags.codes import make_code

Members = tuple[Person, Person]


def versions(person: Person) -> dict[str, str]:
    """The version of every page, by path."""
    return {page.path: page.version for page in pages.listing(person.id, TODAY).pages}


def test_the_list_names_every_plant_and_group_the_yard_and_the_manual(
    make_plant: Callable[..., Plant], members: Members
) -> None:
    fig, apple = make_plant("Old gate fig", "fig"), make_plant("Corner apple", "apple")
    plant_pages = {f"/plants/{fig.id}", f"/plants/{apple.id}"}
    group_pages = {"/many", "/many/all", "/many/these"}
    assert set(versions(members[1])) == {"/", "/help", *group_pages, *plant_pages}


def test_the_list_says_the_same_version_as_the_pages(plant: Plant, members: Members) -> None:
    keep_entries([new_entry(plant, members[1], "note", words="Scale")])
    changed = plants.plant(plant.id)
    assert changed is not None
    listed = versions(members[1])
    assert listed[f"/plants/{plant.id}"] == pages.plant_page_version(changed, TODAY)
    assert listed["/"] == pages.yard_page_version(TODAY)
    assert listed["/help"] == pages.manual_page_version()


def test_a_retired_code_is_listed_apart_from_the_hanging_one(plant: Plant, members: Members) -> None:
    assert plant.code
    tags.retire_tag(plant.code, NOW)
    new = tags.issue_tag(plant.id, make_code)
    page = next(
        page for page in pages.listing(members[1].id, TODAY).pages if page.path.startswith("/plants/")
    )
    assert (page.tags, page.retired) == ((new.code,), (plant.code,))


def test_an_entry_changes_the_page_of_its_plant_and_the_list_and_no_other(
    make_plant: Callable[..., Plant], members: Members
) -> None:
    keeper = members[1]
    fig, apple = make_plant("Old gate fig", "fig"), make_plant("Corner apple", "apple")
    before, token = versions(keeper), pages.listing_token(keeper.id, TODAY)
    keep_entries([new_entry(fig, keeper, "note", words="Scale")])
    after = versions(keeper)
    assert {path for path in after if before[path] != after[path]} == {"/", f"/plants/{fig.id}"}
    assert before[f"/plants/{apple.id}"] == after[f"/plants/{apple.id}"]
    assert pages.listing_token(keeper.id, TODAY) != token


def test_a_change_of_the_yard_changes_all_plants(plant: Plant, members: Members) -> None:
    before = versions(members[1])
    yard = yards.the_yard()
    with writing() as ledger:
        ledger.changed("yard", yard.id)
    after = versions(members[1])
    group_pages = {"/many", "/many/all", "/many/these"}
    changed = {path for path in after if before[path] != after[path]}
    assert changed == {"/", f"/plants/{plant.id}", *group_pages}


def test_a_new_day_changes_what_speaks_of_today(plant: Plant) -> None:
    tomorrow = TODAY + timedelta(days=1)
    assert pages.plant_page_version(plant, TODAY) != pages.plant_page_version(plant, tomorrow)
    assert pages.yard_page_version(TODAY) != pages.yard_page_version(tomorrow)


def test_the_token_stands_for_one_person_and_one_state(plant: Plant, members: Members) -> None:
    owner, keeper = members
    token = pages.listing_token(keeper.id, TODAY)
    assert pages.listing(keeper.id, TODAY).token == token
    assert pages.listing_token(owner.id, TODAY) != token


def test_a_list_of_many_plants_costs_as_many_queries_as_one_of_few(
    make_plant: Callable[..., Plant], members: Members, count_queries: Any
) -> None:
    make_plant()
    with count_queries() as few:
        pages.listing(members[1].id, TODAY)
    for number in range(20):
        make_plant(f"Apple {number}", "apple")
    with count_queries() as many:
        pages.listing(members[1].id, TODAY)
    assert len(few) == len(many)


def test_a_list_of_many_groups_costs_as_many_queries_as_one_of_few(
    make_plant: Callable[..., Plant], members: Members, count_queries: Any
) -> None:
    make_plant(spot="Row 1")
    make_plant(spot="Row 1")
    with count_queries() as few:
        pages.listing(members[1].id, TODAY)
    for number in range(20):
        make_plant(f"Apple {number}", "apple", spot=f"Row {number // 2}")
    with count_queries() as many:
        pages.listing(members[1].id, TODAY)
    assert len(few) == len(many)
