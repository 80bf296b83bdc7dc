"""A walk from plant to plant without the network."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.offline.phone import Phone
from walkabout.records import plants
from walkabout.records.people import Person
from walkabout.records.plants import Plant, PlantFacts

pytestmark = pytest.mark.browser


def name(phone: Phone) -> str:
    """The plant whose page is open."""
    return phone.page.locator("h1").inner_text()


def on(phone: Phone, way: str = "next") -> str:
    """Press a link of the walk; gives the name of the plant that it led to."""
    with phone.page.expect_navigation():
        phone.page.locator(f'.tag-line a[href$="/{way}"]').tap()
    return name(phone)


@pytest.fixture
def row(make_plant: Callable[..., Plant]) -> list[Plant]:
    """Three plants of a row and a dead one between them, recorded in no order."""
    made = {
        number: make_plant(f"Apple {number}", "apple", spot=f"Row {number}", state=state)
        for number, state in ((10, "growing"), (2, "growing"), (3, "dead"), (1, "growing"))
    }
    return [made[number] for number in (1, 2, 3, 10)]


def test_next_and_before_work_offline_and_pass_over_the_dead(
    row: list[Plant], make_phone: Callable[[], Phone], members: tuple[Person, Person]
) -> None:
    phone = make_phone()
    phone.sign_in(members[1])
    phone.keep_pages()
    phone.cut()
    first, second, dead, last = row
    phone.go(f"/plants/{first.id}")
    assert on(phone) == second.name
    assert phone.page.url.endswith(f"/plants/{second.id}")
    assert on(phone) == last.name
    assert on(phone, "before") == second.name
    phone.go(f"/plants/{dead.id}")
    assert on(phone, "before") == second.name
    phone.go(f"/plants/{last.id}")
    on(phone)
    assert phone.page.url == f"{phone.origin}/"


def test_the_walk_follows_a_plant_that_was_moved(
    row: list[Plant], make_phone: Callable[[], Phone], members: tuple[Person, Person]
) -> None:
    phone = make_phone()
    phone.sign_in(members[1])
    phone.keep_pages()
    first, second, _dead, last = row
    plants.change_plant(last.id, PlantFacts(name=last.name, crop="apple", spot="Row 1b"))
    phone.keep_pages()
    phone.cut()
    phone.go(f"/plants/{first.id}")
    assert on(phone) == last.name
    assert on(phone) == second.name


def test_after_keeping_a_note_the_next_plant_is_one_tap_away(
    row: list[Plant], make_phone: Callable[[], Phone], members: tuple[Person, Person]
) -> None:
    phone = make_phone()
    phone.sign_in(members[1])
    phone.keep_pages()
    phone.cut()
    phone.go(f"/plants/{row[0].id}")
    phone.note("Ants on the trunk")
    with phone.page.expect_navigation():
        phone.page.locator('.kept a[href$="/next"]').tap()
    assert name(phone) == row[1].name
