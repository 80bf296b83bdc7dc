"""Fixtures of the offline tests: phones, and a yard with a citrus and a fig, served as a process."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.offline.phone import Phone
from tests.server import Server
from walkabout.records.people import Person
from walkabout.records.plants import Plant

if TYPE_CHECKING:
    from playwright.sync_api import Playwright


@pytest.fixture
def mandarin(make_plant: Callable[..., Plant]) -> Plant:
    """A grafted citrus."""
    return make_plant(
        "Satsuma by the wall", "mandarin", cultivar="Owari", raised="grafted", spot="South wall"
    )


@pytest.fixture
def fig(make_plant: Callable[..., Plant]) -> Plant:
    """A fig on its own roots."""
    return make_plant("Old gate fig", "fig", cultivar="Brown Turkey", raised="cutting", spot="South bed 4")


@pytest.fixture
def make_phone(playwright: Playwright, server: Server, tmp_path: Path) -> Iterator[Callable[[], Phone]]:
    """Makes phones, each new and with its browser open."""
    phones: list[Phone] = []

    def make() -> Phone:
        phone = Phone(playwright, server.origin, tmp_path / f"phone-{len(phones)}")
        phones.append(phone)
        phone.start()
        return phone

    yield make
    for phone in phones:
        phone.close()


@pytest.fixture
def phone(
    mandarin: Plant, fig: Plant, make_phone: Callable[[], Phone], members: tuple[Person, Person]
) -> Phone:
    """The keeper's phone: signed in, with all pages kept."""
    made = make_phone()
    made.sign_in(members[1])
    made.keep_pages()
    return made
