"""On to the next plant and back to the one before, with the network."""

from __future__ import annotations

from collections.abc import Callable

from tests.cast import TODAY, Actor, Cast
from walkabout.records import plants
from walkabout.records.people import Person
from walkabout.records.plants import Plant, PlantFacts
from walkabout.sync import pages


def led_to(actor: Actor, plant: Plant, way: str) -> str:
    """Where a link of the plant's page leads."""
    page = actor.get(f"/plants/{plant.id}")
    address = f"/plants/{plant.id}/{way}"
    assert f'href="{address}"' in page.text
    answer = actor.get(address)
    assert answer.status_code == 302, answer.text
    return answer.location


def test_the_walk_leads_through_the_rows_as_people_count(
    cast: Cast, make_plant: Callable[..., Plant]
) -> None:
    tenth = make_plant("A", spot="Row 10")
    second = make_plant("B", spot="Row 2")
    nowhere = make_plant("C")
    assert led_to(cast.keeper, second, "next") == f"/plants/{tenth.id}"
    assert led_to(cast.keeper, tenth, "next") == f"/plants/{nowhere.id}"
    assert led_to(cast.keeper, tenth, "before") == f"/plants/{second.id}"


def test_at_its_ends_the_walk_leads_to_the_list(cast: Cast, plant: Plant) -> None:
    assert led_to(cast.owner, plant, "next") == "/"
    assert led_to(cast.owner, plant, "before") == "/"


def test_a_dead_plant_is_passed_over(cast: Cast, make_plant: Callable[..., Plant]) -> None:
    first, dead, last = (
        make_plant(name, spot="Row 1", state=state)
        for name, state in (("1", "growing"), ("2", "dead"), ("3", "growing"))
    )
    assert led_to(cast.keeper, first, "next") == f"/plants/{last.id}"
    assert led_to(cast.keeper, dead, "next") == f"/plants/{last.id}"


def test_no_such_plant_is_said_and_outsiders_are_led_to_the_sign_in(cast: Cast, plant: Plant) -> None:
    unknown = plant.id[:-4] + "ffff"
    assert cast.keeper.get(f"/plants/{unknown}/next").status_code == 404
    for outsider in cast.outsiders:
        for way in ("next", "before"):
            answer = outsider.get(f"/plants/{plant.id}/{way}")
            assert answer.status_code == 302
            assert answer.location.startswith("/sign-in")


def test_pages_are_listed_in_walking_order_and_those_of_the_walk_are_marked(
    make_plant: Callable[..., Plant], members: tuple[Person, Person]
) -> None:
    tenth, second = make_plant("A", spot="Row 10"), make_plant("B", spot="Row 2")
    dead = make_plant("C", spot="Row 3", state="dead")
    listed = [page for page in pages.listing(members[1].id, TODAY).pages if page.path.startswith("/plants/")]
    assert [(page.path, page.walked) for page in listed] == [
        (f"/plants/{second.id}", True),
        (f"/plants/{dead.id}", False),
        (f"/plants/{tenth.id}", True),
    ]


def test_no_page_becomes_stale_by_what_happens_to_its_neighbours(
    make_plant: Callable[..., Plant], members: tuple[Person, Person]
) -> None:
    def version(plant: Plant) -> str:
        listed = pages.listing(members[1].id, TODAY).pages
        return next(page.version for page in listed if page.path == f"/plants/{plant.id}")

    first, second = make_plant("A", spot="Row 1, 1"), make_plant("B", spot="Row 1, 2")
    before = version(first)
    make_plant("AA", spot="Row 1, 1b")
    plants.change_plant(second.id, PlantFacts(name="B", crop="fig", spot="Row 9"))
    plants.change_plant(second.id, PlantFacts(name="Bee", crop="fig", spot="Row 1, 2", state="dead"))
    assert version(first) == before
