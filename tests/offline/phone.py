"""A person's phone: a Chromium with a profile of its own that outlasts it, worked by thumb."""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.browser import launch_profile
from tests.cast import NOW
from walkabout.records import sessions

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import BrowserContext, Locator, Page, Playwright

    from walkabout.records.people import Person
    from walkabout.records.plants import Plant

LINK_MINUTES = 60 * 24 * 365 * 50  # the fixed clock of the tests is not that of the served product
# More than a request to a frozen server takes to be given up (static/js/exchange.js), and the pause after it.
PATIENCE = 60.0  # seconds

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
# Ask the worker to bring the pages; resolves to its words once it has them all.
BRING = """async () => {
    const { active } = await navigator.serviceWorker.ready;
    const { port1, port2 } = new MessageChannel();
    const answer = new Promise((resolve) => { port1.onmessage = ({ data }) => resolve(data); });
    active.postMessage({ ask: "bring-pages" }, [port2]);
    return answer;
}"""
KEPT = """async () => {
    const kept = [];
    for (const name of await caches.keys()) {
        for (const request of await (await caches.open(name)).keys()) kept.push(new URL(request.url).pathname);
    }
    return kept;
}"""


@dataclass
class Phone:
    """One phone.

    Attributes:
        origin: of the yard's server.
        profile: the folder with all that its browser stores.
        taps: how often the screen was pressed, by `tap`.
    """

    playwright: Playwright
    origin: str
    profile: Path
    taps: int = 0
    options: dict[str, Any] = field(default_factory=dict)
    _context: BrowserContext | None = None

    def start(self) -> None:
        """Open the browser."""
        assert self._context is None
        self._context = launch_profile(self.playwright, self.profile)
        self._context.set_default_timeout(15_000)

    def close(self) -> None:
        """Close the browser; the profile stays."""
        if self._context is not None:
            self._context.close()
            self._context = None

    @property
    def context(self) -> BrowserContext:
        """The open browser."""
        assert self._context is not None, "this phone's browser is closed"
        return self._context

    @property
    def page(self) -> Page:
        """The tab in front."""
        return self.context.pages[-1] if self.context.pages else self.context.new_page()

    def go(self, path: str) -> Page:
        """Open an address in the tab in front."""
        self.page.goto(self.origin + path)
        return self.page

    def scan(self, plant: Plant) -> Page:
        """Open the address of a plant's tag in a new tab, as the camera does."""
        page = self.context.new_page()
        page.goto(f"{self.origin}/T/{plant.code}")
        return page

    def sign_in(self, person: Person) -> None:
        """Come in by a one-time link."""
        token = sessions.issue_link(person.id, NOW, minutes=LINK_MINUTES)
        self.go(f"/enter/{token}")
        self.page.click("main form button")
        self.page.wait_for_url(f"{self.origin}/")

    def keep_pages(self) -> list[str]:
        """Let the worker bring all pages; gives the paths that are kept."""
        answer = self.page.evaluate(BRING)
        assert answer["is"] == "fresh", answer
        return self.kept()

    def kept(self) -> list[str]:
        """The paths of all that the caches hold."""
        paths: list[str] = self.page.evaluate(KEPT)
        return paths

    def cut(self) -> None:
        """Cut the network."""
        self.context.set_offline(True)

    def mend(self) -> None:
        """Let the network be there again."""
        self.context.set_offline(False)

    def tap(self, what: Locator) -> None:
        """Press something once."""
        what.tap()
        self.taps += 1

    def keep_it(self, page: Page) -> None:
        """Press "Keep it" in the open note and wait until the page says that it is kept."""
        self.tap(page.locator("form.entry:visible button.keep"))
        page.locator(".kept").wait_for()

    def note(self, words: str, page: Page | None = None) -> None:
        """Keep a note of these words on the open plant page."""
        page = page or self.page
        choice = page.locator('[data-opens="note-note"]').last
        if not choice.is_visible():
            page.locator("summary", has_text="All kinds").tap()
        choice.tap()
        form = page.locator('form.entry[data-kind="note"]')
        form.locator("textarea").fill(words)
        form.locator("button.keep").tap()
        page.locator(".kept", has_text=words).wait_for()

    def outbox(self) -> list[dict[str, Any]]:
        """All records on the phone."""
        records: list[dict[str, Any]] = self.page.evaluate(READ_OUTBOX)
        return records

    def known(self, name: str) -> Any:
        """What the phone knows under a name, by the page's own code."""
        program = self.page.locator("body").get_attribute("data-program")
        store = f"/static/{program}/js/outbox_store.js"
        return self.page.evaluate(f"async (name) => (await import('{store}')).known(name)", name)

    def states(self) -> list[str]:
        """The states of all records, oldest first."""
        return [record["state"] for record in self.outbox()]

    def wait_until(self, *states: str) -> None:
        """Wait until the records are in these states, oldest first."""
        self.wait_for(lambda: self.states() == list(states), lambda: f"the outbox stays at {self.states()}")

    def wait_for(
        self, true: Callable[[], bool], words: Callable[[], str] = lambda: "it stays as it is"
    ) -> None:
        """Wait until something is true, and let the browser work meanwhile."""
        end = time.monotonic() + PATIENCE
        while not true():
            assert time.monotonic() < end, words()
            self.page.wait_for_timeout(50)

    def line(self) -> str:
        """The line at the bottom."""
        return self.page.locator(".outbox").inner_text()
