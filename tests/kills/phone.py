"""A keeper's phone: the real page in a Chromium that stays open, worked by thumb."""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tests.cast import NOW
from walkabout.records import sessions

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Page, Playwright

    from walkabout.records.people import Person
    from walkabout.records.plants import Plant

# The records in the phone's outbox (static/js/outbox_schema.js), read without the page's own code.
READ_OUTBOX = """() => new Promise((resolve, reject) => {
    const opening = indexedDB.open("walkabout");
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
        const asked = opening.result.transaction("entries").objectStore("entries").getAll();
        asked.onerror = () => reject(asked.error);
        asked.onsuccess = () => { opening.result.close(); resolve(asked.result); };
    };
})"""
# Longer than a request that gets no answer takes to be given up (static/js/exchange.js), and the pause after it.
PATIENCE = 60.0
LINK_MINUTES = 60 * 24 * 365 * 50  # the fixed clock of the tests is not that of the served product


@dataclass
class Phone:
    """One page of one plant.

    Attributes:
        page: the page.
        noted: the words of all notes that the page said it has kept.
    """

    page: Page
    noted: list[str]

    def open(self, origin: str, person: Person, plant: Plant) -> None:
        """Sign in by a one-time link and open the plant's page, which stays open from then on."""
        token = sessions.issue_link(person.id, NOW, minutes=LINK_MINUTES)
        self.page.goto(f"{origin}/enter/{token}")
        self.page.click("main form button")
        self.page.wait_for_url(f"{origin}/")
        self.page.goto(f"{origin}/plants/{plant.id}")
        self.page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")

    def note(self, words: str) -> None:
        """Choose Note, write, press Keep it; returns when the phone has it on its disk."""
        form = self.page.locator('form.entry[data-kind="note"]')
        if not form.is_visible():
            choice = self.page.locator('.choice[href*="/note/note"]').last
            if not choice.is_visible():
                self.page.locator("summary", has_text="All kinds").click()
            choice.click()
        form.locator("textarea").fill(words)
        form.locator("button.keep").click()
        self.page.wait_for_function("(form) => !form.checkVisibility()", arg=form.element_handle())
        self.noted.append(words)

    def outbox(self) -> list[dict[str, object]]:
        """All records on the phone."""
        records: list[dict[str, object]] = self.page.evaluate(READ_OUTBOX)
        return records

    def in_state(self, state: str) -> int:
        """How many records are in a state: waiting, sent, refused."""
        return sum(record["state"] == state for record in self.outbox())

    def wait_until_sent(self) -> None:
        """Wait until the server has answered for everything."""
        end = time.monotonic() + PATIENCE
        while left := [record for record in self.outbox() if record["state"] != "sent"]:
            assert time.monotonic() < end, f"{len(left)} of {len(self.noted)} notes were not sent"
            # Not time.sleep: the browser's events must be served meanwhile.
            self.page.wait_for_timeout(20)


def open_phone(playwright: Playwright, profile: Path) -> Iterator[Phone]:
    """A phone with a profile of its own, for a fixture."""
    from tests.browser import launch_profile

    context = launch_profile(playwright, profile)
    try:
        yield Phone(context.pages[0], [])
    finally:
        context.close()
