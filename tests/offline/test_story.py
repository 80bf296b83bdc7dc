"""Correcting and taking back from the story, with no network in between, by one person and by two."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.cast import TODAY, new_entry
from tests.offline.phone import Phone
from walkabout.records import entries, merges, stories
from walkabout.records.entries import keep_entries
from walkabout.records.people import Person
from walkabout.records.plants import Plant

pytestmark = pytest.mark.browser
Members = tuple[Person, Person]


@pytest.fixture
def mined(mandarin: Plant, members: Members) -> str:
    """The id of an entry: leaf miner on young leaves, by the keeper."""
    details = {"problem": "citrus_leafminer", "part": "young_leaves", "words": "East side"}
    entry = new_entry(mandarin, members[1], "pest", subject="citrus_leafminer", seen_on=TODAY, **details)
    assert [answer.word for answer in keep_entries([entry])] == ["stored"]
    return entry.id


def told(plant: Plant) -> list[tuple[str, dict[str, object]]]:
    """What stands of a plant: kind and details."""
    return [(line.entry.kind, line.entry.details) for line in stories.story(plant.id, 10)]


def open_line(phone: Phone, plant: Plant) -> None:
    """Open the page of the plant and its first line of the story."""
    page = phone.scan(plant)
    page.locator('[data-live="story"] li[data-root] > a.line[role=button]').first.tap()


def correct(phone: Phone, plant: Plant, share: str) -> None:
    """Correct the first line of the story: another share of the plant."""
    open_line(phone, plant)
    page = phone.page
    page.locator(".acts button", has_text="Correct").tap()
    form = page.locator("form.entry:visible")
    assert form.locator("[name=problem][value=citrus_leafminer]").is_checked()
    assert form.locator("[name=part][value=young_leaves]").is_checked()
    assert form.locator("[name=words]").input_value() == "East side"
    form.locator(f"label:has([name=share][value='{share}'])").tap()
    phone.keep_it(page)


def test_an_entry_is_corrected_offline_and_sent_later(phone: Phone, mandarin: Plant, mined: str) -> None:
    phone.keep_pages()
    phone.cut()
    correct(phone, mandarin, "10-25")
    line = phone.page.locator(f'li[data-root="{mined}"]')
    assert "10 to 25" in line.locator("[data-waiting]").inner_text()
    assert "waits to be sent" in line.locator("[data-waiting]").inner_text()
    assert "undone" in (line.locator("a.line").get_attribute("class") or "")
    assert phone.page.locator("#waiting li").count() == 0

    # Corrected again, it opens with what it says by now, and the last one holds.
    line.locator("a.line").tap()
    line.locator("button", has_text="Correct").tap()
    form = phone.page.locator("form.entry:visible")
    assert form.locator("[name=share][value='10-25']").is_checked()
    form.locator("label:has([name=share][value='25-50'])").tap()
    phone.keep_it(phone.page)
    line.locator("[data-waiting]", has_text="25 to 50").wait_for()

    phone.mend()
    phone.wait_until("sent", "sent")
    ((kind, details),) = told(mandarin)
    assert (kind, details["share"], details["words"]) == ("pest", "25-50", "East side")
    page = phone.page
    page.locator('[data-live="story"] li[data-root]', has_text="corrected").wait_for()
    page.locator("[data-waiting]").wait_for(state="detached")
    page.locator(".before summary").tap()  # what stood before is one press away
    before = page.locator(".before li").all_inner_texts()
    assert ["10 to 25" in before[0], "%" in before[1]] == [True, False]


@pytest.mark.parametrize("first_sent", [0, 1])
def test_of_two_corrections_from_two_phones_the_one_made_last_stands(
    phone: Phone,
    make_phone: Callable[[], Phone],
    mandarin: Plant,
    mined: str,
    members: Members,
    first_sent: int,
) -> None:
    other = make_phone()
    other.sign_in(members[0])
    phones = [phone, other]
    for one in phones:
        one.keep_pages()
        one.cut()
    correct(phone, mandarin, "10-25")
    correct(other, mandarin, "25-50")  # made last, whichever is sent first
    for one in (phones[first_sent], phones[1 - first_sent]):
        one.mend()
        one.wait_until("sent")
    (line,) = stories.story(mandarin.id, 10)
    assert (line.root_id, line.entry.details["share"], line.author_name) == (mined, "25-50", members[0].name)
    for one in phones:
        page = one.go(f"/plants/{mandarin.id}")
        page.locator('[data-live="story"] .told', has_text="25 to 50").wait_for()
        page.locator(".before summary").tap()
        assert "10 to 25" in page.locator(".before li").first.inner_text()


def test_an_entry_is_taken_back_offline_and_given_back(phone: Phone, mandarin: Plant, mined: str) -> None:
    phone.keep_pages()
    phone.cut()
    open_line(phone, mandarin)
    page = phone.page
    page.locator(".acts button", has_text="Take back").tap()
    line = page.locator(f'li[data-root="{mined}"]')
    line.locator("[data-waiting]", has_text="Taken back").wait_for()
    page.reload()
    line.locator("[data-waiting]", has_text="Taken back").wait_for()
    phone.mend()
    phone.wait_until("sent")
    assert told(mandarin) == []
    assert entries.count_entries() == 2
    page.locator('[data-live="story"]', has_text="Nothing is noted").wait_for()


def test_a_note_that_waits_is_corrected_before_it_is_sent(phone: Phone, mandarin: Plant) -> None:
    phone.cut()
    page = phone.scan(mandarin)
    phone.note("Three ants", page)
    for words in ("Thirty ants", "Forty ants"):
        page.locator("#waiting li button.told").tap()
        page.locator("form.entry:visible textarea").fill(words)
        phone.keep_it(page)
        page.locator("#waiting li", has_text=words).wait_for()
        assert page.locator("#waiting li").count() == 1
    # One step back, as on the server: the correction before the last one stands again.
    page.locator("#waiting li button", has_text="Undo").tap()
    page.locator("#waiting li", has_text="Thirty ants").wait_for()
    assert page.locator("#waiting li").count() == 1
    phone.mend()
    phone.wait_for(lambda: set(phone.states()) == {"sent"})
    assert told(mandarin) == [("note", {"words": "Thirty ants"})]


def test_a_refused_correction_is_mended_and_corrects_still(phone: Phone, mandarin: Plant, mined: str) -> None:
    phone.keep_pages()
    open_line(phone, mandarin)
    page = phone.page
    page.locator(".acts button", has_text="Correct").tap()
    words = page.locator("form.entry:visible [name=words]")
    words.evaluate("(field) => field.removeAttribute('maxlength')")  # as an older program might have allowed
    words.fill("East side. " * 30)
    phone.keep_it(page)
    phone.wait_until("refused")
    page.locator("#waiting", has_text="refused").wait_for()
    assert [details["words"] for _, details in told(mandarin)] == ["East side"]
    page = phone.go("/outbox")
    page.locator("[data-list=refused] a.choice").tap()
    page.locator("form.entry:visible [name=words]").fill("West side")
    phone.keep_it(page)
    phone.wait_until("sent")
    (line,) = stories.story(mandarin.id, 5)
    assert (line.root_id, line.entry.details["words"]) == (mined, "West side")


def test_taking_back_with_the_server_there_can_be_undone(phone: Phone, mandarin: Plant, mined: str) -> None:
    phone.keep_pages()
    open_line(phone, mandarin)
    page = phone.page
    page.locator(".acts button", has_text="Take back").tap()
    phone.wait_until("sent")
    page.locator('[data-live="story"]', has_text="Nothing is noted").wait_for()
    assert told(mandarin) == []
    page.locator("#taken-back .kept button", has_text="Undo").tap()
    phone.wait_until("sent", "sent")
    page.locator("#taken-back .kept", has_text="Counts again").wait_for()
    page.locator(f'li[data-root="{mined}"]').wait_for()
    assert [line.entry.id for line in stories.story(mandarin.id, 5)] == [mined]


def test_taking_back_is_undone_before_it_was_sent(phone: Phone, mandarin: Plant, mined: str) -> None:
    phone.keep_pages()
    phone.cut()
    phone.page.wait_for_timeout(3_100)  # the server was not heard; the page knocks before it tries an entry
    open_line(phone, mandarin)
    page = phone.page
    page.locator(".acts button", has_text="Take back").tap()
    line = page.locator(f'li[data-root="{mined}"]')
    line.locator("[data-waiting] button", has_text="Undo").tap()
    line.locator("[data-waiting]").wait_for(state="detached")
    assert "undone" not in (line.locator("a.line").get_attribute("class") or "")
    phone.wait_until()


def test_an_entry_of_a_double_is_corrected_on_the_page_of_the_plant_that_survives(
    phone: Phone, mandarin: Plant, fig: Plant, mined: str
) -> None:
    survivor = merges.merge_plants(mandarin.id, fig.id)
    assert survivor == fig.id
    phone.keep_pages()
    phone.cut()
    page = phone.go(f"/plants/{fig.id}")
    page.locator(f'li[data-root="{mined}"] > a.line[role=button]').tap()
    page.locator(".acts button", has_text="Take back").tap()
    page.locator(f'li[data-root="{mined}"] [data-waiting]', has_text="Taken back").wait_for()
    phone.mend()
    phone.wait_until("sent")
    assert stories.standing_entry(mined) is None


def test_a_line_opens_and_closes_by_keyboard(phone: Phone, mandarin: Plant, mined: str) -> None:
    page = phone.go(f"/plants/{mandarin.id}")
    link = page.locator(f'li[data-root="{mined}"] > a.line[role=button]')
    link.press("Space")
    assert link.get_attribute("aria-expanded") == "true"
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.textContent") == "Correct"
    page.keyboard.press("Escape")
    assert link.get_attribute("aria-expanded") == "false"
    assert page.evaluate("() => document.activeElement.matches('li[data-root] > a.line')")
