"""The list of plants with its script, in a real browser."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.cast import new_entry
from tests.web.test_accessibility import looked_at
from walkabout.records.entries import keep_entries

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from tests.server import Server
    from walkabout.records.people import Person
    from walkabout.records.plants import Plant

pytestmark = pytest.mark.browser


@pytest.fixture
def four(make_plant: Callable[..., Plant], members: tuple[Person, Person]) -> dict[str, Plant]:
    """Plants of several states, one of them with a problem."""
    made = {
        "Old gate fig": make_plant("Old gate fig", "fig", spot="Gate"),
        "Pippin": make_plant("Pippin", "apple", spot="Row 1"),
        "Stump": make_plant("Stump", "apple", state="dead"),
        "Wish": make_plant("Wish", "medlar", state="wanted"),
    }
    seen = {"subject": "scale", "problem": "scale", "seen": "yes"}
    day = (datetime.now(UTC) - timedelta(days=1)).date()
    keep_entries([new_entry(made["Pippin"], members[0], "pest", seen_on=day, **seen)])
    return made


def shown(page: Page) -> list[str]:
    """The names in sight."""
    return page.locator("ul.plants li:visible b").all_inner_texts()


def test_what_does_not_grow_is_folded_and_found(
    four: dict[str, Plant], browser: Browser, server: Server, members: tuple[Person, Person]
) -> None:
    with looked_at(browser, server, members[0]) as page:
        page.wait_for_selector(".outbox a")
        assert shown(page) == ["Old gate fig", "Pippin"]
        find = page.locator("#find [name=search]")
        find.fill("stump")
        assert shown(page) == ["Stump"]
        assert page.locator("#plants-count").inner_text() == "1 plant"
        find.fill("")
        assert shown(page) == ["Old gate fig", "Pippin"]
        page.locator("#find summary").tap()
        page.locator("#find [name=state]").select_option("wanted")
        assert shown(page) == ["Wish"]
        page.locator("#find [name=state]").select_option("")
        page.locator("#find [name=crop]").select_option("apple")
        assert shown(page) == ["Pippin", "Stump"]
        find.fill("nothing of this name")
        assert shown(page) == []
        assert "No plant fits" in page.locator("#plants-count").inner_text()


def test_what_needs_a_look_is_one_press_away(
    four: dict[str, Plant], browser: Browser, server: Server, members: tuple[Person, Person]
) -> None:
    with looked_at(browser, server, members[0]) as page:
        page.wait_for_selector(".outbox a")
        page.locator("#find [name=look]").tap()
        assert shown(page) == ["Pippin"]
        assert "1 problem open" in page.locator("ul.plants li:visible").inner_text()
        page.goto(f"{server.origin}/?look=look")
        assert shown(page) == ["Pippin"]
