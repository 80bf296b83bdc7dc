"""The arithmetic of the page's scripts, run in the browser that they are for."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from tests.server import Server
from walkabout.assets import program_version
from walkabout.records.standing import Link, standing_heads

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from playwright.sync_api import Browser

pytestmark = pytest.mark.browser
JS = f"/static/{program_version()}/js"


@pytest.fixture
def run(browser: Browser, server: Server) -> Iterator[Callable[..., Any]]:
    """Runs lines of script with the names of a module at hand: ``run("clock", "return withOffset(...)")``."""
    context = browser.new_context(timezone_id="Asia/Kathmandu", locale="en-US")
    page = context.new_page()
    page.goto(server.origin + "/sign-in")
    page.evaluate(f"async () => (await import('{JS}/texts.js')).loadTexts('/texts/en.json', 'en')")

    def running(module: str, lines: str) -> Any:
        names = f"const module = await import('{JS}/{module}.js');"
        return page.evaluate(f"async () => {{ {names} {lines} }}")

    yield running
    context.close()


def test_an_id_is_the_example_of_the_standard(run: Callable[..., Any]) -> None:
    # RFC 9562, appendix A.6: time 0x017F22E279B0, rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F.
    random = "0, 0, 0, 0, 0, 0, 0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f"
    made = run("uuid7", f"return module.uuid7(0x017f22e279b0, new Uint8Array([{random}]));")
    assert made == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def test_ids_sort_by_time_and_do_not_repeat(run: Callable[..., Any]) -> None:
    made = run("uuid7", "return Array.from({ length: 500 }, (_, time) => module.uuid7(1.7e12 + time));")
    assert made == sorted(made)
    assert len(set(made)) == 500


def test_a_moment_bears_the_phones_own_offset(run: Callable[..., Any]) -> None:
    # Nepal is 5:45 ahead of UTC: IANA time zone database, Asia/Kathmandu since 1986.
    assert run("clock", "return module.withOffset(new Date(0x19000000000));").endswith("+05:45")
    told = run("clock", "return module.withOffset(new Date(Date.UTC(2026, 10, 25, 2, 30, 0, 7)));")
    assert told == "2026-11-25T08:15:00.007+05:45"


@pytest.mark.parametrize(
    ("zone", "difference", "day"),
    [
        ("Pacific/Auckland", 0, "2026-11-25"),
        ("America/New_York", 0, "2026-11-24"),
        ("America/New_York", 3 * 3600, "2026-11-25"),  # the phone is three hours slow
        ("America/New_York", None, "2026-11-24"),
    ],
)
def test_today_is_the_yards_by_the_corrected_clock(
    run: Callable[..., Any], zone: str, difference: float | None, day: str
) -> None:
    seconds = "null" if difference is None else difference
    asked = f"return module.civilDate('{zone}', {seconds}, Date.UTC(2026, 10, 25, 2, 30));"
    assert run("clock", asked) == day


def test_batches_hold_at_most_fifty_entries_and_what_the_server_takes(run: Callable[..., Any]) -> None:
    many = "Array.from({ length: 120 }, (_, id) => ({ id, entry: { id } }))"
    assert run("sending", f"return module.batches({many}).map((batch) => batch.length);") == [50, 50, 20]
    large = "Array.from({ length: 9 }, (_, id) => ({ id, entry: { words: 'é'.repeat(30000) } }))"
    assert run("sending", f"return module.batches({large}).map((batch) => batch.length);") == [3, 3, 3]
    assert run("sending", "return module.batches([]);") == []


def test_pauses_double_from_two_seconds_to_five_minutes(run: Callable[..., Any]) -> None:
    pauses = run("send_times", "return Array.from({ length: 10 }, (_, n) => module.backOff(n + 1));")
    assert pauses == [2000, 4000, 8000, 16000, 32000, 64000, 128000, 256000, 300000, 300000]


def test_what_waits_for_three_days_is_named_with_its_age(run: Callable[..., Any]) -> None:
    def line(days: float) -> Any:
        records = f"[{{ kept_at: {-days * 86_400_000} }}, {{ kept_at: 0 }}]"
        return run("outbox_line", f"return module.waitingWords({records}, 0);")

    assert line(2.9) == "2 waiting to send"
    assert line(3.1) == "2 waiting to send, the oldest for 3 days"


def test_an_older_program_opens_an_outbox_that_a_newer_one_has_added_to(run: Callable[..., Any]) -> None:
    newer = """await new Promise((resolve, reject) => {
            const opening = indexedDB.open("walkabout", 99);
            opening.onupgradeneeded = () => {
                // The scripts of the page itself may have opened the outbox again in between.
                if (!opening.result.objectStoreNames.contains("entries")) {
                    const entries = opening.result.createObjectStore("entries", { keyPath: "id" });
                    entries.createIndex("state", "state");
                    entries.createIndex("plant", "entry.plant");
                    opening.result.createObjectStore("phone");
                }
                opening.result.createObjectStore("later");
            };
            opening.onsuccess = () => { opening.result.close(); resolve(); };
            opening.onerror = () => reject(opening.error);
        });"""
    delete = """await new Promise((resolve) => {
            const deleting = indexedDB.deleteDatabase("walkabout");
            deleting.onsuccess = resolve;
        });"""
    used = """await module.add({ id: "a", state: "waiting", entry: { plant: "p" } });
        return (await module.inState("waiting")).map((record) => record.id);"""
    assert run("outbox_store", delete + newer + used) == ["a"]


def test_what_holds_on_the_phone_is_what_holds_on_the_server(run: Callable[..., Any]) -> None:
    # The same cases by the server's own rule, walkabout/records/standing.py.
    cases = [
        [("a", None, None)],
        [("a", None, None), ("b", "a", None)],
        [("a", None, None), ("b", "a", None), ("c", "a", None)],
        [("a", None, None), ("b", "a", None), ("c", None, "b")],
        [("a", None, None), ("b", None, "a"), ("c", None, "b")],
        [("a", None, None), ("b", "a", None), ("c", "a", None), ("d", None, "c"), ("e", None, "d")],
        [("a", None, None), ("b", "a", None), ("c", None, "a"), ("d", None, "c")],
    ]
    for links in cases:
        heads = standing_heads([Link(name, place, *named) for place, (name, *named) in enumerate(links)])
        records = [
            {"id": name, "state": "waiting", "entry": {"replaces": replaces, "withdraws": withdraws}}
            for name, replaces, withdraws in links
        ]
        held = run(
            "standing",
            f"const held = module.holders({json.dumps(records)})('a');"
            "return held ? (held.entry.withdraws ? null : held.id) : 'a';",
        )
        assert [head.entry_id for head in heads] == ([held] if held else []), links
