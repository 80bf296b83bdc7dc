"""One note on many plants from a phone: how many taps, without the network, undone, and with the server going away."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

from tests.offline.phone import Phone
from tests.server import Server
from walkabout.records import entries, stories
from walkabout.records.people import Person
from walkabout.records.plants import Plant, PlantFacts, add_plants

pytestmark = pytest.mark.browser

MOST_TAPS = 4  # from the yard's page; the bar that this project set itself
CITRUS = ("mandarin", "lemon", "kumquat", "lime")


@pytest.fixture
def row(make_plant: Callable[..., Plant]) -> list[Plant]:
    """Twelve citrus of a row, and a fig that is none of them."""
    made = [
        make_plant(f"Citrus {number}", CITRUS[number % 4], raised="grafted", spot=f"Citrus row, {number}")
        for number in range(1, 13)
    ]
    make_plant("Old gate fig", "fig", raised="cutting", spot="Gate")
    return made


@pytest.fixture
def phone(row: list[Plant], make_phone: Callable[[], Phone], members: tuple[Person, Person]) -> Phone:
    """The keeper's phone, on the yard's page, with all pages kept."""
    made = make_phone()
    made.sign_in(members[1])
    made.keep_pages()
    return made


def choose(phone: Phone, group: str) -> None:
    """From the yard's page to the page of a group."""
    with phone.page.expect_navigation():
        phone.tap(phone.page.locator('main a.choice[href="/many"]'))
    with phone.page.expect_navigation():
        phone.tap(phone.page.locator("a.choice", has_text=group).first)
    phone.page.locator("#ticks").wait_for()


def note(phone: Phone, choice: str) -> None:
    """Press a likely choice and keep it."""
    phone.tap(phone.page.locator('[data-live="likely"] a', has_text=choice))
    phone.keep_it(phone.page)


def told(plant: Plant) -> list[tuple[str, dict[str, Any]]]:
    """What stands of a plant."""
    return [(line.entry.kind, line.entry.details) for line in stories.story(plant.id, 10)]


def sent(phone: Phone, count: int) -> None:
    """Wait until so many records are on the server."""
    phone.wait_for(
        lambda: Counter(phone.states()) == Counter({"sent": count}), lambda: str(Counter(phone.states()))
    )


def test_watered_the_row_takes_four_taps_and_is_on_every_plant_once(phone: Phone, row: list[Plant]) -> None:
    phone.go("/")
    phone.cut()
    choose(phone, "Citrus row")
    note(phone, "Watered")
    assert phone.taps <= MOST_TAPS
    assert "Kept on 12 plants" in phone.page.locator(".kept").inner_text()
    assert "12 waiting to send" in phone.line()
    kept = [record["entry"] for record in phone.outbox()]
    assert len({entry["id"] for entry in kept}) == 12
    assert all(entry["id"][14] == "7" for entry in kept)  # RFC 9562, section 5.7: the version
    assert {entry["plant"] for entry in kept} == {plant.id for plant in row}
    assert len({entry["seen_on"] for entry in kept}) == 1
    phone.mend()
    sent(phone, 12)
    assert [told(plant) for plant in row] == [[("done", {"work": ["watered"]})]] * 12
    assert entries.count_entries() == 12


def test_leaf_miner_on_all_citrus_takes_four_taps(phone: Phone, row: list[Plant]) -> None:
    phone.go("/")
    phone.cut()
    choose(phone, "All citrus")
    note(phone, "Citrus leafminer")
    assert phone.taps <= MOST_TAPS
    phone.mend()
    sent(phone, 12)
    assert [told(plant) for plant in row] == [[("pest", {"problem": "citrus_leafminer"})]] * 12


def test_a_plant_that_is_unticked_is_left_out(phone: Phone, row: list[Plant]) -> None:
    phone.go("/many")
    with phone.page.expect_navigation():
        phone.page.locator("a.choice", has_text="Citrus row").tap()
    phone.page.locator("#ticks summary").tap()
    phone.page.locator("#ticks label", has_text="Citrus 12").tap()
    assert phone.page.locator("#ticks-count").inner_text() == "11 of 12 ticked"
    note(phone, "Watered")
    sent(phone, 11)
    assert [len(told(plant)) for plant in row] == [1] * 11 + [0]


def test_these_are_ticked_one_by_one_and_group_by_group(phone: Phone, row: list[Plant]) -> None:
    phone.go("/many/these")
    count = phone.page.locator("#ticks-count")
    note_button = phone.page.locator('[data-live="likely"] a', has_text="Watered")
    note_button.tap()
    phone.page.locator("form.entry:visible button.keep").tap()
    assert "No plant is ticked" in phone.page.locator("form.entry:visible [role=alert]").inner_text()
    assert phone.outbox() == []
    note_button.tap()  # closes it again
    phone.page.locator("summary", has_text="Tick a whole group").tap()
    lemons = phone.page.locator("#ticks button", has_text="Lemon")
    lemons.tap()
    assert lemons.get_attribute("aria-pressed") == "true"
    phone.page.locator("#ticks label", has_text="Old gate fig").tap()
    assert count.inner_text() == "4 of 13 ticked"
    note(phone, "Watered")
    assert "Kept on 4 plants" in phone.page.locator(".kept").inner_text()
    # Every fourth of the row is a lemon.
    assert {record["plant_name"] for record in phone.outbox()} == {
        "Citrus 1",
        "Citrus 5",
        "Citrus 9",
        "Old gate fig",
    }


def test_undo_before_sending_leaves_nothing(phone: Phone, server: Server, row: list[Plant]) -> None:
    server.stop()
    # Once the server was not heard for 3 s (static/js/sending.js), the page knocks before it tries an entry.
    phone.page.wait_for_timeout(3_100)
    phone.go("/")
    choose(phone, "Citrus row")
    note(phone, "Watered")
    phone.page.locator(".kept button").tap()
    phone.page.locator(".kept", has_text="Taken back on 12 plants").wait_for()
    assert phone.outbox() == []
    server.start()
    phone.page.reload()
    phone.wait_for(lambda: "Nothing waiting" in phone.line())
    assert entries.count_entries() == 0


def test_undo_after_sending_withdraws_on_every_plant(phone: Phone, row: list[Plant]) -> None:
    phone.go("/")
    choose(phone, "Citrus row")
    note(phone, "Watered")
    sent(phone, 12)
    phone.cut()
    phone.page.locator(".kept button").tap()
    phone.page.locator(".kept", has_text="Taken back on 12 plants").wait_for()
    phone.mend()
    sent(phone, 24)
    assert [told(plant) for plant in row] == [[]] * 12
    assert entries.count_entries() == 24


def test_a_plant_that_is_refused_stays_in_the_outbox_and_the_others_are_kept(
    phone: Phone, row: list[Plant]
) -> None:
    phone.go("/")
    phone.cut()
    choose(phone, "Citrus row")
    phone.tap(phone.page.locator('[data-live="likely"] a', has_text="Watered"))
    # The phone of somebody whose page is of another day: one entry names a plant that this yard has not.
    box = phone.page.locator(f'#ticks input[value="{row[0].id}"]')
    box.evaluate("(box) => { box.value = box.value.replace(/....$/, 'ffff'); }")
    phone.keep_it(phone.page)
    phone.mend()
    phone.wait_for(
        lambda: Counter(phone.states()) == Counter({"sent": 11, "refused": 1}),
        lambda: str(Counter(phone.states())),
    )
    assert entries.count_entries() == 11
    phone.wait_for(lambda: "1 refused" in phone.line(), phone.line)


@pytest.mark.parametrize("count", [80, 400])
def test_the_server_goes_away_in_the_middle_and_every_plant_has_it_once(
    count: int, make_phone: Callable[[], Phone], server: Server, members: tuple[Person, Person]
) -> None:
    made = add_plants(
        PlantFacts(f"Apple {number}", "apple", spot=f"Orchard, {number}") for number in range(count)
    )
    phone = make_phone()
    phone.sign_in(members[1])
    phone.go("/many")
    with phone.page.expect_navigation():
        phone.page.locator("a.choice", has_text="Orchard").tap()
    phone.page.locator("#ticks").wait_for()
    sizes: list[int] = []
    # The wire breaks after the server has the second batch: the phone does not hear that it was kept.
    broken = {"left": 1}

    def meddle(route: Any) -> None:
        batch = route.request.post_data_json["entries"]
        if not batch:
            route.continue_()
            return
        sizes.append(len(batch))
        if len(sizes) == 2 and broken["left"]:
            broken["left"] -= 1
            route.fetch()
            server.stop()
            route.abort()
            return
        route.continue_()

    phone.page.route("**/sync/entries", meddle)
    note(phone, "Watered")
    phone.wait_for(lambda: server.process is None)
    assert Counter(phone.states())["sent"] == 50
    server.start()
    sent(phone, count)
    assert max(sizes) == 50
    assert entries.count_entries() == count
    assert all(told(plant) == [("done", {"work": ["watered"]})] for plant in made)
