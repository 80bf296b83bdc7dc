"""Work done: several works at once, their amounts in both kinds of yard, and what is asked beside each."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from flask import Flask, render_template
from flask_babel import Babel
from hypothesis import given
from hypothesis import strategies as st

from walkabout.assets import STATIC, TEMPLATES
from walkabout.entries.done import IN_SIGHT, KIND, DoneForm, did, no_pick_before
from walkabout.entries.facts import KindFacts
from walkabout.entries.form import Posted
from walkabout.errors import BadInput
from walkabout.reference.works import works

TASK = "0b1f6f3e-6a60-4a63-9f0e-8f3c5a0e7a11"
US = KindFacts("mandarin", True, "us", date(2026, 1, 14), warm=True, tasks=((TASK, "Cut back"),))
METRIC = KindFacts("fig", False, "metric", date(2026, 7, 14))

# 1 lb = 0.45359237 kg, 1 gal = 3.785411784 L, 1 in = 2.54 cm: NIST SP 811, appendix B.8. 1 gal = 128 fl oz = 256 tbsp
# = 768 tsp: NIST Handbook 44, appendix C; so 1 tbsp/gal = 3.906 mL/L.
TOLD: list[tuple[KindFacts, dict[str, Any], dict[str, Any], str]] = [
    (US, {"work": ["watered"]}, {"work": ["watered"]}, "Watered"),
    (
        US,
        {
            "work": ["fed", "thinned", "pruned"],
            "pruned_for": ["size"],
            "analysis": "10-10-10",
            "feed_lb": 0.5,
        },
        {
            "work": ["pruned", "thinned", "fed"],
            "pruned_for": ["size"],
            "analysis": "10-10-10",
            "feed_kg": 0.226796185,
        },
        "Pruned for size, thinned, fed 10-10-10, 0.5 lb",
    ),
    (
        METRIC,
        {"work": ["pruned"], "pruned_for": ["dead", "light", "shape"]},
        {"work": ["pruned"], "pruned_for": ["shape", "light", "dead"]},
        "Pruned for shape, light and dead wood",
    ),
    (
        US,
        {"work": ["fed"], "feed_lb": 1, "feed_oz": 8},
        {"work": ["fed"], "feed_kg": 1.5 * 0.45359237},
        "Fed 1.5 lb",
    ),
    (US, {"feed_oz": 2}, {"work": ["fed"], "feed_kg": 0.45359237 / 8}, "Fed 2 oz"),
    (METRIC, {"feed_g": 150}, {"work": ["fed"], "feed_kg": 0.15}, "Fed 150 g"),
    (
        METRIC,
        {"analysis": "compost", "feed_kg": 20},
        {"work": ["fed"], "analysis": "compost", "feed_kg": 20},
        "Fed compost, 20 kg",
    ),
    (US, {"water_gal": 5}, {"work": ["watered"], "water_l": 5 * 3.785411784}, "Watered 5 gal"),
    (
        METRIC,
        {"water_l": 12, "water_minutes": 20},
        {"work": ["watered"], "water_l": 12, "water_minutes": 20},
        "Watered 12 L, 20 minutes",
    ),
    (
        US,
        {"left_count": 1, "spacing_in": 6},
        {"work": ["thinned"], "left_count": 1, "spacing_cm": 15.24},
        "Thinned to 1 fruit, 6 in apart",
    ),
    (
        US,
        {
            "product": "Copper soap",
            "rate": 2,
            "rate_unit": "tbsp_gal",
            "spray_gal": 1.5,
            "days_before_harvest": 7,
            "hours_before_reentry": 4,
        },
        {
            "work": ["sprayed"],
            "product": "Copper soap",
            "rate": 2000 / 256,
            "rate_unit": "ml_l",
            "spray_l": 1.5 * 3.785411784,
            "days_before_harvest": 7,
            "hours_before_reentry": 4,
        },
        "Sprayed Copper soap, 2 tbsp/gal, 1.5 gal, no pick for 7 days, stay out 4 h",
    ),
    (
        METRIC,
        {"rate": 2.4, "rate_unit": "g_l", "days_before_harvest": 1},
        {"work": ["sprayed"], "rate": 2.4, "rate_unit": "g_l", "days_before_harvest": 1},
        "Sprayed, 2.4 g/L, no pick for 1 day",
    ),
    (
        US,
        {"work": ["banked", "protected"], "protected_with": ["lights", "cloth"]},
        {"work": ["protected", "banked"], "protected_with": ["cloth", "lights"]},
        "Protected with cloth and lights, banked",
    ),
    (US, {"container_gal": 15}, {"work": ["repotted"], "container_l": 56.78117676}, "Repotted into 15 gal"),
    (
        METRIC,
        {"grafted_cultivar": "Page", "words": "whip and tongue"},
        {"work": ["grafted"], "grafted_cultivar": "Page", "words": "whip and tongue"},
        "Grafted Page, whip and tongue",
    ),
    (
        US,
        {"work": ["other"], "words": "Swept up"},
        {"work": ["other"], "words": "Swept up"},
        "Done: Swept up",
    ),
    (
        US,
        {"task": TASK, "words": "Cut back", "work": ["pruned"]},
        {"task": TASK, "words": "Cut back", "work": ["pruned"]},
        "Done: Cut back, pruned",
    ),
    # as the first form version stored it
    (US, {"task": TASK}, {"task": TASK}, "Done: Cut back"),
    (US, {"words": "Wrapped the trunk"}, {"words": "Wrapped the trunk"}, "Done: Wrapped the trunk"),
]


@pytest.mark.parametrize(("facts", "written", "stored", "words"), TOLD)
def test_kept_and_told(facts: KindFacts, written: dict[str, Any], stored: dict[str, Any], words: str) -> None:
    kept = KIND.check(written, facts)
    assert kept.keys() == stored.keys()
    for name, value in stored.items():
        assert kept[name] == (pytest.approx(value) if isinstance(value, int | float) else value)
    assert KIND.headline(kept, facts) == words
    assert KIND.check(kept, facts) == kept


@pytest.mark.parametrize(
    ("rate", "unit", "stored", "shown"),
    [
        # 3 tbsp/gal x 6 L = 70.3 mL, so 11.72 mL/L: worked from NIST Handbook 44, appendix C
        (3, "tbsp_gal", 11.71875, "3 tbsp/gal"),
        (1, "tsp_gal", 1.3020833, "1 tsp/gal"),
        (3, "tsp_gal", 3.90625, "1 tbsp/gal"),
        (1, "floz_gal", 7.8125, "2 tbsp/gal"),
        (4, "floz_gal", 31.25, "4 fl oz/gal"),
        # 2 lb in 100 gal = 2.40 g/L: 0.32 oz/gal x 28.349523125 g / 3.785411784 L
        (0.32, "oz_gal", 2.3965, "0.32 oz/gal, dry"),
        (5, "ml_l", 5, "1.28 tbsp/gal"),
    ],
)
def test_rates_are_stored_in_a_litre_of_spray(rate: float, unit: str, stored: float, shown: str) -> None:
    kept = KIND.check({"rate": rate, "rate_unit": unit}, US)
    assert kept["rate"] == pytest.approx(stored, rel=1e-4)
    assert KIND.headline(kept, US) == f"Sprayed, {shown}"
    drawn = KIND.draw(US, kept)
    again = KIND.check({"rate": drawn.rate.data, "rate_unit": drawn.rate_unit.data}, US)
    assert again["rate"] == pytest.approx(stored, rel=1e-3)
    assert again["rate_unit"] == kept["rate_unit"]


@pytest.mark.parametrize(("facts", "written", "_stored", "words"), TOLD)
def test_a_form_for_correcting_shows_it_in_the_units_of_the_yard(
    facts: KindFacts, written: dict[str, Any], _stored: dict[str, Any], words: str
) -> None:
    """What stands in a field that the page of this yard does not draw would be lost."""
    form = KIND.draw(facts, KIND.check(written, facts))
    asked = [field for one in form.asked for field in one.fields]
    drawn = {field.name: field.details_value for field in (form.task, form.work, form.words, *asked)}
    shown = {name: value for name, value in drawn.items() if value is not None}
    assert KIND.headline(KIND.check(shown, facts), facts) == words


REFUSED: list[tuple[dict[str, Any], str, str]] = [
    ({}, "words", "Choose what was done, or write it."),
    ({"rate_unit": "ml_l"}, "words", "Choose what was done"),
    ({"work": []}, "words", "Choose what was done"),
    ({"work": ["other"]}, "words", "Write what else was done."),
    ({"work": ["raked"]}, "work", "not one of the choices"),
    ({"work": "pruned"}, "work", "must be a short list"),
    ({"work": ["pruned", 5]}, "work", "must be a text"),
    ({"pruned_for": ["fun"]}, "pruned_for", "not one of the choices"),
    ({"protected_with": ["prayer"]}, "protected_with", "not one of the choices"),
    ({"rate": 2}, "rate_unit", "Choose the unit that stands on the label."),
    ({"rate": 2, "rate_unit": "cups"}, "rate_unit", "not one of the choices"),
    ({"rate": 300, "rate_unit": "tbsp_gal"}, "rate_unit", "more product than spray"),
    ({"water_l": 1, "water_gal": 1}, "water_gal", "once"),
    ({"feed_kg": 1, "feed_lb": 1}, "feed_lb", "once"),
    ({"feed_kg": 1000, "feed_g": 1}, "feed_g", "more than a plant can be fed"),
    ({"days_before_harvest": 1.5}, "days_before_harvest", "whole number"),
    ({"days_before_harvest": -1}, "days_before_harvest", "from 0 to 365"),
    ({"product": "x" * 81}, "product", "81 characters are too many"),
    ({"task": "the one"}, "task", "not one of the choices"),
]


@pytest.mark.parametrize(("details", "field", "reason"), REFUSED)
def test_refused_with_a_reason(details: dict[str, Any], field: str, reason: str) -> None:
    with pytest.raises(BadInput) as refusal:
        KIND.check(details, US)
    assert refusal.value.field == field
    assert reason in refusal.value.message


@given(st.sets(st.sampled_from(sorted(works()))), st.integers(1, 12), st.sampled_from(["fig", "medlar"]))
def test_what_is_kept_does_not_follow_the_month(ticked: set[str], month: int, crop: str) -> None:
    """What is offered first changes; the same entry sent again later must be the same entry."""
    facts = replace(METRIC, crop=crop, today=date(2026, month, 9))
    details = {"work": sorted(ticked), "words": "x"}
    kept = KIND.check(details, facts)
    assert kept == KIND.check(details, US)
    assert set(kept.get("work", ())) == ticked
    assert kept.get("work", []) == [key for key in works() if key in ticked]


@pytest.mark.parametrize(
    ("details", "about"),
    [
        ({"task": TASK, "work": ["pruned"]}, TASK),
        ({"work": ["watered", "fed"]}, "fed"),
        ({"words": "x"}, ""),
    ],
)
def test_subject_is_the_task_else_the_first_work(details: dict[str, Any], about: str) -> None:
    kept = KIND.check(details, US)
    assert KIND.subject(kept) == about
    assert [key for key in works() if did(kept, key)] == kept.get("work", [])


@pytest.mark.parametrize(
    ("sprayed", "days", "first"),
    [
        # earliest picking = day of the spray + days in whole days (NPIC, preharvest interval page); dates counted by hand
        ("2026-06-03", 14, "2026-06-17"),
        ("2028-02-25", 7, "2028-03-03"),
        ("2027-02-25", 7, "2027-03-04"),
        ("2026-12-20", 21, "2027-01-10"),
        ("2026-12-20", 0, "2026-12-20"),
    ],
)
def test_no_pick_before(sprayed: str, days: int, first: str) -> None:
    kept = KIND.check({"days_before_harvest": days}, US)
    assert no_pick_before(kept, date.fromisoformat(sprayed)) == date.fromisoformat(first)


def test_no_waiting_days_were_noted() -> None:
    assert no_pick_before({"work": ["sprayed"]}, date(2026, 6, 3)) is None


def test_nothing_is_ticked_off_that_was_not_chosen() -> None:
    """A plant with an open task: who notes a watering from this form does not tick the task with it."""
    assert KIND.draw(US).task.data is None
    assert KIND.draw(US, {"task": TASK, "words": "Cut back"}).task.data == TASK


def test_the_fields_that_works_ask_are_there() -> None:
    form = KIND.draw(US)
    for work in works().values():
        for name in work.asks:
            assert form.in_yard_units(name).name in form, (work.key, name)


@pytest.fixture
def page() -> Iterator[str]:
    app = Flask("partials", template_folder=str(TEMPLATES))
    Babel(app)
    with app.test_request_context():
        yield render_template(KIND.template, form=KIND.draw(replace(US, tasks=())), at="here")


def test_six_works_in_sight_and_every_other_one_press_further(page: str) -> None:
    in_sight, folded = re.sub(r"</?fieldset.*?>", "", page).split("<details>")
    shown = re.findall(r'name="work" value="(\w+)"', in_sight)
    hidden = re.findall(r'name="work" value="(\w+)"', folded)
    assert len(shown) == IN_SIGHT
    assert sorted(shown + hidden) == sorted(works())
    assert {"watered", "pruned", "protected"} <= set(shown)  # January, citrus


def test_what_a_work_asks_and_its_caution_come_with_it(page: str) -> None:
    """The sheet names every work that asks something; without :has() it hides nothing."""
    sheet = (STATIC / "css" / "works.css").read_text(encoding="utf-8")
    always, _, with_has = sheet.partition("@supports selector(:has(*)) {")
    assert "display: none" not in always
    shown = set(re.findall(r'has\(\[value="(\w+)"\]:checked\) \[data-for~="(\w+)"\]', with_has))
    wanting = {work.key for work in works().values() if work.asks or work.cautions}
    assert shown == {(key, key) for key in wanting}
    assert set(" ".join(re.findall(r'data-for="([\w ]+)"', page)).split()) == wanting
    assert "The label on the product governs" in page
    assert page.index("The label on the product governs") < page.index('name="product"')


def test_a_ticked_work_is_not_folded_away_when_the_form_comes_back() -> None:
    form = KIND.posted(Posted({"work": ["net_off"], "rate": ["2"]}), US)
    assert isinstance(form, DoneForm)
    assert not form.validate()
    assert form.work.folded_is_chosen
