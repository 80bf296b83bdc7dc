"""Undo, and forms that are not filled."""

from __future__ import annotations

import pytest

from tests.offline.phone import Phone
from tests.server import Server
from walkabout.records import entries, stories
from walkabout.records.plants import Plant

pytestmark = pytest.mark.browser


def test_what_was_never_tried_disappears(phone: Phone, server: Server, fig: Plant) -> None:
    server.stop()
    # Once the server was not heard for 3 s (static/js/sending.js), the page knocks before it tries an entry.
    phone.page.wait_for_timeout(3_100)
    page = phone.scan(fig)
    phone.note("Nothing of note", page)
    page.locator(".kept button").tap()
    phone.wait_until()
    page.locator("#waiting li").wait_for(state="detached")
    assert "Taken back" in page.locator(".kept").inner_text()


def test_what_is_on_the_server_is_withdrawn_by_a_further_entry(phone: Phone, fig: Plant) -> None:
    page = phone.scan(fig)
    phone.note("Nothing of note", page)
    phone.wait_until("sent")
    phone.cut()
    page.locator(".kept button").tap()
    phone.wait_until("sent", "waiting")
    phone.mend()
    phone.wait_until("sent", "sent")
    assert stories.story(fig.id, 10) == []
    assert entries.count_entries() == 2
    page.locator('[data-live="story"]', has_text="Nothing is noted").wait_for()


def test_a_form_that_needs_an_answer_asks_for_it_and_keeps_nothing(phone: Phone, fig: Plant) -> None:
    page = phone.scan(fig)
    page.locator("summary", has_text="All kinds").tap()
    page.locator('.choice[data-opens="note-damage"]').last.tap()
    page.locator("form.entry:visible button.keep").tap()
    assert "Nothing is kept yet" in page.locator("form.entry:visible [role=alert]").inner_text()
    assert phone.outbox() == []


def test_the_keyboard_alone_notes(phone: Phone, fig: Plant) -> None:
    page = phone.scan(fig)
    page.locator("summary", has_text="All kinds").press("Enter")
    choice = page.locator('.choice[data-opens="note-note"]').last
    choice.press("Space")
    assert choice.get_attribute("aria-expanded") == "true"
    assert page.evaluate("() => document.activeElement.id") == "note-note"
    page.keyboard.press("Escape")
    assert choice.get_attribute("aria-expanded") == "false"
    assert page.evaluate("() => document.activeElement.dataset.opens") == "note-note"
    choice.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("Ants on the trunk")
    page.locator("form.entry:visible button.keep").press("Enter")
    phone.wait_until("sent")
    assert entries.count_entries() == 1
