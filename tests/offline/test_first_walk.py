"""From a printed tag to an entry in the database, with no network in between.

Taps are counted from the loaded page, for a plant without entries. The most that each may take is the bar that
this project set itself.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from tests.offline.phone import Phone
from tests.server import Server
from walkabout.records import entries, stories
from walkabout.records.plants import Plant

if TYPE_CHECKING:
    from collections.abc import Callable

pytestmark = pytest.mark.browser


def told(plant: Plant) -> list[tuple[str, dict[str, object]]]:
    """What stands in the story of a plant: kind and details."""
    return [(line.entry.kind, line.entry.details) for line in stories.story(plant.id, 10)]


def test_every_page_is_kept_after_one_visit(phone: Phone, mandarin: Plant, fig: Plant) -> None:
    wanted = {"/", "/help", "/outbox", "/offline", f"/plants/{fig.id}", f"/plants/{mandarin.id}"}
    assert wanted <= set(phone.kept())


def test_cutting_the_network_reaches_the_worker_too(phone: Phone) -> None:
    # Without this the tests below would prove nothing; older browsers were told to leave workers out.
    phone.cut()
    (worker,) = phone.context.service_workers
    ask = "() => fetch('/sync/pages').then(() => 'reached', () => 'cut')"
    assert worker.evaluate(ask) == "cut"


def test_leaf_miner_is_noted_offline_in_three_taps_and_is_in_the_database_once(
    phone: Phone, server: Server, mandarin: Plant
) -> None:
    phone.cut()
    page = phone.scan(mandarin)
    assert page.locator("h1").inner_text() == mandarin.name
    likely = page.locator('[data-opens="note-pest"]', has_text="leafminer")
    phone.tap(likely if likely.count() else page.locator('[data-opens="note-pest"]').first)
    if not likely.count():
        phone.tap(page.locator("form.entry:visible label", has_text="leafminer").first)
    phone.keep_it(page)
    assert phone.taps <= 3
    assert page.locator("#waiting li").count() == 1
    assert "1 waiting to send" in phone.line()

    page.reload()
    assert "leafminer" in page.locator("#waiting li").inner_text()

    server.stop()
    phone.close()
    phone.start()
    page = phone.scan(mandarin)
    assert "leafminer" in page.locator("#waiting li").inner_text()

    server.start()
    phone.wait_until("sent")
    assert told(mandarin) == [("pest", {"problem": "citrus_leafminer"})]
    assert entries.count_entries() == 1
    page.locator('[data-live="story"]', has_text="leafminer").wait_for()
    page.locator("#waiting li").wait_for(state="detached")
    assert "Nothing waiting" in phone.line()


def test_freeze_dieback_is_noted_with_the_server_stopped_in_five_taps(
    phone: Phone, server: Server, mandarin: Plant
) -> None:
    server.stop()
    page = phone.scan(mandarin)
    frost = page.locator('[data-opens="note-damage"]').first
    phone.tap(frost)
    form = page.locator("form.entry:visible")
    if not form.locator("[name=cause][value=frost]").is_checked():
        phone.tap(form.locator("label:has([name=cause][value=frost])"))
    phone.tap(form.locator("label:has([name=nights_ago][value='1'])"))
    phone.tap(form.locator("label:has([name=lowest_living][value=above])"))
    phone.keep_it(page)
    assert phone.taps <= 5
    server.start()
    phone.wait_until("sent")
    assert told(mandarin) == [("damage", {"cause": "frost", "nights_ago": "1", "lowest_living": "above"})]


def test_full_bloom_is_noted_in_two_taps(
    phone: Phone, mandarin: Plant, make_plant: Callable[..., Plant]
) -> None:
    # About the months of its bloom a crop of the books offers the stage first (tests/entries/test_likely.py); these
    # tests run in any month, and a crop whose months are not known offers it in all.
    medlar = make_plant("Medlar at the gate", "medlar")
    phone.keep_pages()
    phone.cut()
    page = phone.scan(medlar)
    phone.tap(page.locator('[data-opens="note-bloom"]', has_text="Full bloom").first)
    phone.keep_it(page)
    assert phone.taps <= 2
    page = phone.scan(mandarin)
    if not page.locator('[data-live="likely"] [data-opens="note-bloom"]').count():
        phone.tap(page.locator("summary", has_text="All kinds"))
    phone.tap(page.locator('[data-opens="note-bloom"]').first)
    phone.keep_it(page)
    assert phone.taps <= 2 + 3
    phone.mend()
    phone.wait_until("sent", "sent")
    # BBCH 65 is full bloom, at least half of the flowers open: Meier (ed.), BBCH Monograph, 2nd edition 2001.
    for plant in (medlar, mandarin):
        ((kind, details),) = told(plant)
        assert (kind, str(details["stage"]).split("/")[-1]) == ("bloom", "65")


def test_the_date_that_the_person_chose_is_the_one_recorded(phone: Phone, fig: Plant) -> None:
    phone.cut()
    page = phone.scan(fig)
    chosen = date.today() - timedelta(days=9)  # noqa: DTZ011 -- days back from any near today
    page.locator("summary", has_text="All kinds").tap()
    page.locator('.choice[data-opens="note-note"]').last.tap()
    form = page.locator("form.entry:visible")
    form.locator("textarea").fill("Bird net torn")
    form.locator("[name=seen_on]").fill(chosen.isoformat())
    phone.keep_it(page)
    phone.mend()
    phone.wait_until("sent")
    assert [line.entry.seen_on for line in stories.story(fig.id, 10)] == [chosen]


def test_a_tag_typed_in_any_way_opens_its_plant(phone: Phone, fig: Plant) -> None:
    phone.cut()
    assert fig.code
    typed = fig.code.lower().replace("0", "o").replace("1", "l")
    for path in (f"/t/{typed}", f"/T/{fig.code[:3]}-{fig.code[3:]}", f"/plants/{fig.id}"):
        assert phone.go(path).locator("h1").inner_text() == fig.name


def test_a_page_that_is_not_kept_says_what_to_do(phone: Phone) -> None:
    phone.cut()
    # The check letter of the second does not fit; tests/tags holds the arithmetic.
    for path, words in (
        ("/T/0000000", "000-0000"),
        ("/T/0000001", "not a whole tag code"),
        ("/you", "not kept"),
    ):
        page = phone.go(path)
        assert page.locator("h1").inner_text() == "Not on this phone"
        page.locator("main", has_text=words).wait_for()
        assert page.locator("main a[href='/outbox']").is_visible()


def test_the_list_is_narrowed_without_the_network(phone: Phone, mandarin: Plant, fig: Plant) -> None:
    phone.cut()
    page = phone.go("/")
    page.locator("#find [name=search]").fill("turkey")
    assert page.locator("#plants li:visible").all_inner_texts()[0].startswith(fig.name)
    assert page.locator("#plants li:visible").count() == 1
    assert "1 plant" in page.locator("#plants-count").inner_text()
