"""What a phone must fetch before the first tag page can be used, counted by the browser itself."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

from tests.bench.filled import fill
from tests.bench.measure import Figure
from tests.browser import launch
from tests.cast import NOW
from tests.server import Server
from walkabout.records import people, plants, sessions, yards
from walkabout.records.database import close_database

if TYPE_CHECKING:
    from playwright.sync_api import Browser

GOAL_KB = 100


def bytes_until_usable(browser: Browser, origin: str, link: str, tag_path: str) -> int:
    """Bytes over the wire, headers included, from nothing to a tag page whose buttons answer.

    Args:
        browser: a Chromium.
        origin: where the yard is served.
        link: a one-time link, because only members see the page; its own pages do not count.
        tag_path: the path of the tag.
    """
    context = browser.new_context(viewport={"width": 390, "height": 844})
    try:
        page = context.new_page()
        page.goto(origin + link)
        # The sign-in page may have brought style sheets; a phone that scans a tag starts with nothing.
        page.click("form button")
        page.wait_for_url(f"{origin}/")
        cookies = context.cookies()
        page.close()
        fresh = browser.new_context(viewport={"width": 390, "height": 844})
        fresh.add_cookies(cookies)
        page = fresh.new_page()
        watch = fresh.new_cdp_session(page)
        watch.send("Network.enable")
        received: list[int] = []
        watch.on("Network.loadingFinished", lambda event: received.append(event["encodedDataLength"]))
        page.goto(origin + tag_path, wait_until="load")
        page.wait_for_timeout(300)
        total = int(sum(received))
        fresh.close()
        return total
    finally:
        context.close()


def visit(origin: str, link: str, tag_path: str) -> int:
    """Start a Chromium for one visit; gives the bytes."""
    with sync_playwright() as playwright:
        browser = launch(playwright)
        try:
            return bytes_until_usable(browser, origin, link, tag_path)
        finally:
            browser.close()


def measured(folder: Path, *, scale: float, full: bool) -> Iterator[Figure]:
    """Yield the figures; neither scale nor fullness changes them."""
    del full
    owner, _ = fill(folder / "first", 40, max(1, round(400 * scale)))
    server = Server(folder / "first")
    yards.add_origin(server.origin)
    link = f"/enter/{sessions.issue_link(owner.id, NOW, minutes=60 * 24 * 365 * 20)}"
    code = plants.plants()[0].code
    close_database()
    assert people.PASSWORD_METHOD
    server.start()
    try:
        # On a thread of its own: playwright starts once a thread, and a test run has started it on this one.
        with ThreadPoolExecutor(1) as own_thread:
            total = own_thread.submit(visit, server.origin, link, f"/T/{code}").result()
    finally:
        server.close()
    yield Figure("bytes until the first tag page is usable", total / 1000, "KB", goal=GOAL_KB)
