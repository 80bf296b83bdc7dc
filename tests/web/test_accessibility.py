"""Every page that a person opens, in a real browser on a phone's screen.

Sources: W3C, Web Content Accessibility Guidelines 2.2 (2023): 1.4.3 and 1.4.6 contrast, 1.4.10 reflow, 2.1.1
keyboard, 2.4.7 focus visible, 2.4.11 focus not obscured, 2.5.8 target size. The rules are run by axe-core (Deque
Systems, tests/vendor/axe-core). 48 px with 8 px between is common practice for gloves, no source.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.cast import new_entry, new_id, plant_one
from tests.photographs import picture
from walkabout.app import create_app
from walkabout.entries.kinds import KINDS
from walkabout.records import limbs, merges, sessions, spots, tags, tasks
from walkabout.records.entries import keep_entries
from walkabout.records.limbs import LimbFacts
from walkabout.tags.codes import make_code
from walkabout.web.keeping import id_on

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from tests.server import Server
    from walkabout.records.people import Person
    from walkabout.records.plants import Plant

pytestmark = pytest.mark.browser

SCREEN: Any = {"width": 360, "height": 740}
TARGET, GAP, SMALLEST_TEXT = 48, 8, 15  # CSS pixels
AXE = (Path(__file__).parents[1] / "vendor" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
MEASURES = (Path(__file__).with_name("pages.js")).read_text(encoding="utf-8").split("\n", 1)[1]
RULES = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    },
    "rules": {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}},
}
# What is no page: endpoint and why.
NOT_PAGES = {
    "static.file": "a file",
    "static.favicon": "a picture",
    "offline.worker": "a script",
    "offline.manifest": "JSON",
    "offline.texts": "JSON",
    "sync.page_list": "JSON",
    "records.export": "a file",
    "photo_exchange.ask": "JSON",
    "photo_exchange.kept_thumbs": "JSON",
    "photos.picture": "a picture",
    "photos.thumb": "a picture",
    "tags.find": "leads on to a tag",
    "walk.after": "leads on to a plant",
    "walk.before": "leads on to a plant",
}
# Pages for those who are not signed in; all others are looked at by the owner.
FOR_STRANGERS = {"people.sign_in", "people.enter"}


def addresses(
    plant: Plant, dead: Plant, entry: str, taken_back: str, link: str, press: str
) -> dict[str, list[str]]:
    """At least one address for each page of the program, and those where it differs much."""
    retired = tags.retire_tag(tags.issue_tag(plant.id, make_code).code, datetime.now(UTC)).code
    return {
        "plants.yard": ["/", "/?search=nothing-like-it&crop=fig"],
        "plants.plant": [f"/plants/{plant.id}", f"/plants/{dead.id}", f"/plants/{plant.id}?kept={entry}"],
        "plants.add": ["/plants/add"],
        "plants.edit": [f"/plants/{plant.id}/edit"],
        "tags.tag": [f"/T/{plant.code}", f"/t/{plant.code}", f"/T/{retired}", f"/T/{make_code()}", "/T/XYZ"],
        "many.every": ["/many"],
        "many.group": ["/many/all", "/many/these", "/many/crop-mandarin"],
        "many.note": ["/many/all/note/pest", "/many/these/note/done"],
        "many.kept": [f"/many/kept/{press}"],
        "entries.note": [f"/plants/{plant.id}/note/{kind.key}" for kind in KINDS.values() if kind.on_plants],
        "entries.entry": [f"/entries/{entry}", f"/entries/{taken_back}"],
        "entries.correct": [f"/entries/{entry}/correct"],
        "entries.story": [f"/plants/{plant.id}/story"],
        "tasks.add": [f"/plants/{plant.id}/tasks/add"],
        "people.sign_in": ["/sign-in"],
        "people.enter": [link],
        "people.you": ["/you"],
        "people.password": ["/you/password"],
        "people.everyone": ["/people"],
        "records.page": ["/yard/records"],
        "manual.page": ["/help"],
        "offline.shell": ["/offline"],
        "offline.outbox": ["/outbox"],
    }


def in_full(plant: Plant, dead: Plant, keeper: Person) -> tuple[str, dict[str, list[str]]]:
    """A limb with a tag, a plant recorded twice, an empty spot; gives the limb's tag and the addresses about them."""
    limb = limbs.add_limb(
        plant.id, LimbFacts("The low one over the path", "sweet_orange", "Washington", "2024-03")
    )
    limbs.add_limb(plant.id, LimbFacts("The one to the east"))
    code = tags.issue_tag(plant.id, make_code, limb_id=limb.id).code
    twice = plant_one("Mandarin, kitchen", "mandarin", raised_from=plant.id)
    merges.merge_plants(twice.id, plant.id)
    plant_one("Its seedling", "mandarin", raised_from=plant.id, spot="East row, spot 12", state="wanted")
    assert plant.spot is not None
    return code, {
        "plant_tags.page": [f"/plants/{plant.id}/tags", f"/plants/{dead.id}/tags"],
        "limbs.page": [f"/plants/{plant.id}/limbs", f"/plants/{dead.id}/limbs"],
        "limbs.limb": [f"/plants/{plant.id}/limbs/{limb.id}"],
        "merges.page": [f"/plants/{plant.id}/merge"],
        "spots.every": ["/yard/spots"],
        "spots.spot": [f"/yard/spots/{plant.spot.id}", f"/yard/spots/{spots.save_spot('Empty hole').id}"],
        "yard.settings": ["/yard/settings"],
        "people.reset_password": [f"/people/{keeper.id}/password"],
    }


@pytest.fixture
def pages(server: Server, members: tuple[Person, Person]) -> dict[str, list[str]]:
    """A yard with something of everything in it; gives the addresses of its pages by endpoint."""
    now = datetime.now(UTC)
    today = now.date() - timedelta(days=1)
    owner, keeper = members
    plant = plant_one(
        "Mandarin by the kitchen door, the one with the bent stake",
        "mandarin",
        cultivar="Owari Satsuma",
        rootstock="Flying Dragon",
        raised="grafted",
        planted="2019",
        spot="East row, spot 12",
        container=True,
        container_litres=60.0,
    )
    dead = plant_one("Old pippin", "apple", state="dead")
    beside = plant_one("Clementine", "mandarin", spot="East row, spot 13")
    press = new_id(now)
    told: list[dict[str, Any]] = [
        {"kind": "pest", "subject": "citrus_leafminer", "problem": "citrus_leafminer", "share": "10-25"},
        {"kind": "damage", "subject": "frost", "cause": "frost", "dead_back_to_cm": 40.0},
        {"kind": "harvest", "weight_kg": 4.5},
        {"kind": "note", "words": "A-very-long-word-without-a-blank-" * 6},
    ]
    made = [
        new_entry(plant, keeper, seen_on=today, made_at=now - timedelta(minutes=9 - place), **one)
        for place, one in enumerate(told)
    ]
    earlier = new_entry(
        plant, owner, "note", seen_on=today - timedelta(days=500), made_at=now, words="Planted out"
    )
    corrected = new_entry(
        plant, owner, "note", made_at=now, replaces=made[-1].id, seen_on=today, words="Ants"
    )
    gone = new_entry(plant, owner, "withdrawal", made_at=now, withdraws=made[2].id, seen_on=today)
    pressed = [
        new_entry(
            one,
            keeper,
            "note",
            made_at=now,
            seen_on=today,
            entry_id=id_on(press, one.id),
            words="Looked over",
        )
        for one in (plant, beside)
    ]
    keep_entries([*made, earlier, corrected, gone, *pressed])
    tasks.add_task(plant.id, "Cut back to living wood", today, today + timedelta(days=30), owner.id)
    tasks.add_task(plant.id, "Feed", today + timedelta(days=30), None, owner.id)
    link = f"/enter/{sessions.issue_link(keeper.id, now)}"
    known = addresses(plant, dead, corrected.id, made[2].id, link, press)
    limb_tag, more = in_full(plant, dead, keeper)
    known["tags.tag"].append(f"/T/{limb_tag}")
    return {**known, **more}


@contextmanager
def looked_at(browser: Browser, server: Server, person: Person | None, **options: Any) -> Iterator[Page]:
    """A phone's screen, signed in as somebody or nobody. Workers are shut out: each page comes from the server."""
    context = browser.new_context(
        viewport=SCREEN, has_touch=True, service_workers="block", locale="en-US", **options
    )
    page = context.new_page()
    if person is not None:
        page.goto(f"{server.origin}/enter/{sessions.issue_link(person.id, datetime.now(UTC))}")
        page.click("button.keep")
        page.wait_for_url(f"{server.origin}/")
    yield page
    context.close()


def measure(page: Page, name: str, argument: Any = None) -> Any:
    """Call a function of pages.js in the page."""
    return page.evaluate(f"(argument) => {MEASURES.strip()}.{name}(argument)", argument)


def axe(page: Page) -> list[str]:
    """What axe finds, a line each.

    The screen is made as high as the page for it: the bottom line stays in sight while one scrolls, and what it
    hides for that moment is not to be found too small.
    """
    # The page is whole when its script has drawn the switch of lights, which makes it higher.
    page.wait_for_function("() => !document.querySelector('.lights[hidden]')")
    for _again in range(5):  # a line that the script draws meanwhile makes the page higher once more
        high = page.evaluate("() => document.documentElement.scrollHeight")
        if high <= page.evaluate("() => window.innerHeight"):
            break
        page.set_viewport_size({"width": SCREEN["width"], "height": high})
        page.evaluate(
            "() => { scrollTo(0, 0); return document.fonts.ready.then(() => new Promise(requestAnimationFrame)); }"
        )
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE)
    found = page.evaluate(f"() => axe.run(document, {json.dumps(RULES)})")
    page.set_viewport_size(SCREEN)
    assert found["passes"], "axe looked at nothing"
    return [
        f"{one['id']}: {node['html'][:120]} {node['failureSummary'][:160]}"
        for one in found["violations"]
        for node in one["nodes"]
    ]


def test_every_route_is_listed(pages: dict[str, list[str]], app_routes: set[str]) -> None:
    assert app_routes == pages.keys() | NOT_PAGES.keys()


@pytest.fixture
def app_routes(yard: Path) -> set[str]:
    """Endpoints of the program that answer a GET."""
    rules = create_app(yard).url_map.iter_rules()
    return {rule.endpoint for rule in rules if "GET" in (rule.methods or ())}


def test_no_page_has_a_fault(
    browser: Browser, server: Server, members: tuple[Person, Person], pages: dict[str, list[str]]
) -> None:
    faults: dict[str, list[str]] = {}
    for person, endpoints in ((None, FOR_STRANGERS), (members[0], pages.keys() - FOR_STRANGERS)):
        with looked_at(browser, server, person) as page:
            for address in sorted(address for endpoint in endpoints for address in pages[endpoint]):
                page.goto(server.origin + address)
                found = axe(page)
                measure(page, "openAll")
                found += axe(page)
                found += measure(page, "targets", {"size": TARGET, "gap": GAP})
                if overhang := measure(page, "overhang"):
                    found.append(f"{overhang} px wider than the screen")
                if (smallest := measure(page, "smallestText")) < SMALLEST_TEXT:
                    found.append(f"text of {smallest} px")
                if found:
                    faults[address] = sorted(set(found))
    assert not faults, "\n".join(
        f"{address}: {fault}" for address, found in faults.items() for fault in found
    )


def test_a_stranger_at_a_tag_meets_no_fault(
    browser: Browser, server: Server, pages: dict[str, list[str]]
) -> None:
    with looked_at(browser, server, None) as page:
        for address in (pages["tags.tag"][0], "/help", "/no-such-page", "/outbox"):
            page.goto(server.origin + address)
            assert axe(page) == []
            assert measure(page, "targets", {"size": TARGET, "gap": GAP}) == []
            assert measure(page, "overhang") == 0


@pytest.mark.parametrize("light", ["day", "night", "sun"])
def test_every_light_is_legible(
    browser: Browser, server: Server, members: tuple[Person, Person], pages: dict[str, list[str]], light: str
) -> None:
    with looked_at(browser, server, members[0]) as page:
        for endpoint in ("plants.plant", "entries.note", "plants.add", "entries.entry", "offline.outbox"):
            page.goto(server.origin + pages[endpoint][0])
            page.locator(f"button[data-light={light}]").click()
            assert page.evaluate("() => document.documentElement.dataset.light") == light
            measure(page, "openAll")
            assert axe(page) == []
            assert measure(page, "overhang") == 0


def test_the_phones_own_night_is_legible(
    browser: Browser, server: Server, members: tuple[Person, Person], pages: dict[str, list[str]]
) -> None:
    with looked_at(browser, server, members[0], color_scheme="dark") as page:
        page.goto(server.origin + pages["plants.plant"][0])
        dark = page.evaluate("() => getComputedStyle(document.body).backgroundColor")
        assert dark == "rgb(18, 16, 13)"  # --paper by night
        measure(page, "openAll")
        assert axe(page) == []


def test_the_keyboard_reaches_everything_in_sight(
    browser: Browser, server: Server, members: tuple[Person, Person], pages: dict[str, list[str]]
) -> None:
    with looked_at(browser, server, members[0]) as page:
        for endpoint in (
            "plants.yard",
            "plants.plant",
            "plants.add",
            "entries.note",
            "entries.entry",
            "people.you",
        ):
            page.goto(server.origin + pages[endpoint][0])
            page.wait_for_function("() => document.querySelector('.outbox a')")
            measure(page, "openAll")
            controls = measure(page, "nameControls")
            reached: set[str] = set()
            for _ in range(len(controls) * 4 + 20):  # a date field has several stops
                page.keyboard.press("Tab")
                focused = measure(page, "focused")
                if focused is None:
                    break
                reached.add(focused["reach"])
                assert focused["visible"], f"the focus cannot be seen: {focused['what']}"
                assert not focused["covered"], f"something lies over the focus: {focused['what']}"
            missed = [control for place, control in enumerate(controls) if str(place) not in reached]
            assert missed == [], endpoint


def test_a_note_is_made_with_the_keyboard_alone(
    browser: Browser, server: Server, members: tuple[Person, Person], pages: dict[str, list[str]]
) -> None:
    with looked_at(browser, server, members[0]) as page:
        page.goto(server.origin + pages["plants.plant"][0])
        choice = page.locator("a.choice[data-opens=note-damage]").first
        page.wait_for_function("() => document.querySelector('.outbox a')")
        choice.focus()
        page.keyboard.press("Enter")
        page.wait_for_selector("#note-damage:not([hidden])")
        page.keyboard.press("Tab")
        page.keyboard.press("ArrowDown")
        while page.evaluate("() => !document.activeElement.matches('button.keep')"):
            page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        page.wait_for_selector(".kept button")
        assert page.locator("#note-damage").is_hidden()


def test_a_note_with_photos_meets_no_fault(
    browser: Browser, server: Server, members: tuple[Person, Person], pages: dict[str, list[str]]
) -> None:
    files = [
        {"name": "one.jpg", "mimeType": "image/jpeg", "buffer": picture()},
        {"name": "none.jpg", "mimeType": "image/jpeg", "buffer": b"not a picture"},
    ]
    with looked_at(browser, server, members[0]) as page:
        page.goto(server.origin + pages["plants.plant"][0])
        page.locator("summary", has_text="All kinds").tap()
        page.locator('.choice[data-opens="note-note"]').last.tap()
        form = page.locator("form.entry:visible")
        form.locator("[data-photos] input[type=file]").set_input_files(files)
        form.locator(".photo-rows img").wait_for()
        form.locator("[data-photos] .error").wait_for()
        assert axe(page) == []
        assert measure(page, "targets", {"size": TARGET, "gap": GAP}) == []
        assert measure(page, "overhang") == 0
