"""How many presses the commonest entries take, from the open page of a plant without entries, and that none is typed.

The path is the one that a thumb finds: a first choice that says it, else one of its kind, else "All kinds"; in the note
the answer, after the fold that hides it; at last "Keep it". Every press counts, folds too. Which choices come first
depends on the month; the count must hold in any. The most that each may take is the bar that this project set itself.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

import pytest

from tests.offline.phone import Phone
from walkabout.records import stories
from walkabout.records.plants import Plant

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

pytestmark = pytest.mark.browser
MOST_TAPS = 5
# Where the focus is while a phone shows its keyboard.
TYPING = (
    "() => document.activeElement.matches('input:not([type=radio], [type=checkbox], [type=date]), textarea')"
)


class Common(NamedTuple):
    """One common entry: on which plant, its kind, the answers pressed (field, value), and what is kept of it."""

    name: str
    plant: str
    kind: str
    answers: tuple[tuple[str, str], ...]
    kept: dict[str, object]


def common(name: str, plant: str, kind: str, *answers: tuple[str, str], **kept: object) -> Common:
    """An entry of which just what was pressed is kept, unless it is said otherwise."""
    return Common(name, plant, kind, answers, kept or dict(answers))


# Stages by the codes of the books: BBCH, Meier (ed.), 2nd edition 2001; look.toml says of each how far it was checked.
COMMON = [
    common("leaf miner", "mandarin", "pest", ("problem", "citrus_leafminer")),
    common("freeze dieback", "mandarin", "damage", ("cause", "frost"), ("nights_ago", "1"), ("lowest_living", "above")),
    common("full bloom", "mandarin", "bloom", ("stage", "crop/65")),
    common("good fruit set", "mandarin", "fruit_set", ("amount", "good")),
    common("much fruit drop", "mandarin", "fruit_set", ("dropped", "many")),
    common("a soft flush", "mandarin", "growth", ("stage", "leaf/15")),
    common("shoots from above the union", "mandarin", "growth", ("stage", "regrowth_above")),
    common("bud break", "fig", "growth", ("stage", "leaf/9")),
    common("leaf fall", "fig", "growth", ("stage", "leaf/93")),
    common("a bowlful picked", "fig", "harvest", ("rough", "bowl")),
    common("looked, no pest", "fig", "pest", ("problem", "any"), seen="none"),
    common("watered", "fig", "done", ("work", "watered"), work=["watered"]),
    common("fed", "fig", "done", ("work", "fed"), work=["fed"]),
    common("pruned", "fig", "done", ("work", "pruned"), work=["pruned"]),
    common("netted", "fig", "done", ("work", "netted"), work=["netted"]),
]  # fmt: skip


def press(phone: Phone, page: Page, what: Locator) -> None:
    """Press something, and see that no keyboard comes up."""
    phone.tap(what)
    assert not page.evaluate(TYPING)


def open_note(phone: Phone, page: Page, one: Common) -> None:
    """Open the note of an entry by the choice that says most of it."""
    choices = page.locator(f'[data-live="likely"] li:not([data-again]) [data-opens="note-{one.kind}"]')
    said = [
        json.loads(choices.nth(place).get_attribute("data-preset") or "{}")
        for place in range(choices.count())
    ]
    wanted = dict(one.answers)

    def worth(preset: dict[str, object]) -> int:
        told = [value == wanted.get(name) or value == [wanted.get(name)] for name, value in preset.items()]
        return sum(told) if all(told) else -1

    best = max(range(len(said)), key=lambda place: worth(said[place]), default=None)
    if best is not None and worth(said[best]) >= 0:
        return press(phone, page, choices.nth(best))
    if not said or one.kind == "done":  # another work would stay ticked
        press(phone, page, page.locator("summary", has_text="All kinds"))
        return press(phone, page, page.locator(f'details [data-opens="note-{one.kind}"]'))
    return press(phone, page, choices.first)


def answer(phone: Phone, page: Page, name: str, value: str) -> None:
    """Press an answer that is not chosen yet, after the fold that hides it."""
    control = page.locator(f"form.entry:visible [name={name}][value='{value}']")
    if control.is_checked():
        return
    label = page.locator(f"form.entry:visible label:has([name={name}][value='{value}'])")
    if not label.is_visible():
        press(
            phone,
            page,
            page.locator(f"form.entry:visible details:has([name={name}][value='{value}']) > summary"),
        )
    press(phone, page, label)


def test_fifteen_common_entries_take_few_presses_and_no_typing(
    phone: Phone, mandarin: Plant, fig: Plant
) -> None:
    plants = {"mandarin": mandarin, "fig": fig}
    phone.cut()
    taken = {}
    for one in COMMON:
        page = phone.go(f"/plants/{plants[one.plant].id}")
        page.locator('[data-opens][role="button"]').first.wait_for()
        before = phone.taps
        open_note(phone, page, one)
        for name, value in one.answers:
            answer(phone, page, name, value)
        phone.keep_it(page)
        taken[one.name] = phone.taps - before
    assert len(taken) == 15
    assert max(taken.values()) <= MOST_TAPS, taken
    phone.mend()
    phone.wait_until(*["sent"] * len(COMMON))
    for key, plant in plants.items():
        stored = [(line.entry.kind, line.entry.details) for line in stories.story(plant.id, 20)]
        # each of this plant, whatever order one day's entries stand in
        wanted = [(one.kind, one.kept) for one in COMMON if one.plant == key]
        assert sorted(stored, key=str) == sorted(wanted, key=str)


def test_the_same_on_the_next_plant_of_a_row_is_two_presses(
    phone: Phone, mandarin: Plant, fig: Plant, make_plant: Callable[..., Plant]
) -> None:
    row = [make_plant(f"Row {number}", "mandarin", raised="grafted", spot="Row") for number in (2, 3)]
    ordered = make_plant("On its way", "mandarin", state="ordered")
    phone.keep_pages()
    phone.cut()
    page = phone.go(f"/plants/{mandarin.id}")
    page.locator("summary", has_text="All kinds").tap()
    page.locator('details [data-opens="note-pest"]').tap()
    for name, value in (("problem", "citrus_leafminer"), ("part", "young_leaves"), ("share", "10-25")):
        answer(phone, page, name, value)
    phone.keep_it(page)
    assert page.locator("[data-again]").count() == 0  # it was this plant
    for plant in row:
        page = phone.go(f"/plants/{plant.id}")
        before = phone.taps
        press(phone, page, page.locator("[data-again] .choice", has_text="Again"))
        phone.keep_it(page)
        assert phone.taps - before == 2
        page.locator("[data-again]").wait_for(state="detached")  # noted here by now
    for other in (fig, ordered):  # a fig has no such miner, and what is ordered has no leaves
        page = phone.go(f"/plants/{other.id}")
        page.locator('[data-opens][role="button"]').first.wait_for()
        assert page.locator("[data-again]").count() == 0
    phone.mend()
    phone.wait_until("sent", "sent", "sent")
    wanted = {"problem": "citrus_leafminer", "part": "young_leaves", "share": "10-25"}
    for plant in (mandarin, *row):
        assert [line.entry.details for line in stories.story(plant.id, 5)] == [wanted]


def test_what_was_taken_back_is_not_offered_again(phone: Phone, mandarin: Plant, fig: Plant) -> None:
    phone.cut()
    page = phone.go(f"/plants/{mandarin.id}")
    open_note(phone, page, COMMON[11])
    answer(phone, page, "work", "watered")
    phone.keep_it(page)
    page = phone.go(f"/plants/{fig.id}")
    assert "Watered" in page.locator("[data-again]").inner_text()
    phone.go(f"/plants/{mandarin.id}").locator("#waiting button", has_text="Undo").tap()
    phone.wait_for(lambda: page.locator("#waiting li").count() == 0)
    page = phone.go(f"/plants/{fig.id}")
    page.locator('[data-opens][role="button"]').first.wait_for()
    assert page.locator("[data-again]").count() == 0
