"""Measures. Factors: NIST SP 811 (2008), appendix B.8: 1 in = 2.54 cm, 1 ft = 0.3048 m."""

from datetime import date
from typing import Any

import pytest

from walkabout.entries.facts import KindFacts
from walkabout.entries.form import Posted
from walkabout.entries.kinds import check, from_post, headline, kind
from walkabout.errors import BadInput

METRIC = KindFacts("apple", grafted=True, units="metric", today=date(2026, 11, 1))
US = KindFacts("apple", grafted=True, units="us", today=date(2026, 11, 1))
OWN_ROOTS = KindFacts("fig", grafted=False, units="metric", today=date(2026, 11, 1))
NOT_KNOWN = KindFacts("fig", grafted=None, units="metric", today=date(2026, 11, 1))


@pytest.mark.parametrize(
    ("details", "words"),
    [
        ({"height_cm": 240.0}, "Height 2.4 m"),
        ({"height_cm": 60.0, "spread_cm": 90.0}, "Height 60 cm, spread 90 cm"),
        ({"shoot_cm": 45.0, "count": 12}, "12 fruits, shoots 45 cm long"),
        (
            {"girth_cm": 22.0, "girth_at_cm": 20.0, "girth_above": "ground"},
            "Girth 22 cm at 20 cm above ground",
        ),
    ],
)
def test_told(details: dict[str, Any], words: str) -> None:
    assert check("measured", details, METRIC) == details
    assert headline("measured", details, METRIC) == words


@pytest.mark.parametrize(
    ("facts", "above"), [(METRIC, "union"), (OWN_ROOTS, "ground"), (NOT_KNOWN, "ground")]
)
def test_girth_is_taken_30_cm_above_unless_said(facts: KindFacts, above: str) -> None:
    # Rootstock trials (NC-140, J. Am. Pomol. Soc. July 2017) take it at a fixed height above the union; 30 cm from memory.
    kept = check("measured", {"girth_cm": 22}, facts)
    assert kept == {"girth_cm": 22, "girth_at_cm": 30, "girth_above": above}
    assert check("measured", kept, METRIC) == kept  # grafting that becomes known later does not move the tape


def test_feet_and_inches() -> None:
    kept = check("measured", {"height_ft": 7.5, "spread_ft": 6, "girth_in": 10, "shoot_in": 18}, US)
    assert kept == pytest.approx(
        {
            "height_cm": 228.6,  # 7.5 x 30.48
            "spread_cm": 182.88,
            "girth_cm": 25.4,
            "girth_at_cm": 30.48,
            "shoot_cm": 45.72,
            "girth_above": "union",
        }
    )
    assert headline("measured", kept, US) == (
        "Height 7.5 ft, spread 6 ft, girth 10 in at 12 in above the union, shoots 18 in long"
    )
    shown = kind("measured").draw(US, kept)
    names = ("height_cm", "spread_cm", "girth_cm", "girth_at_cm", "shoot_cm")
    assert [shown.in_yard_units(name).written for name in names] == ["7.5", "6", "10", "12", "18"]


def test_where_girth_was_taken_says_nothing_alone() -> None:
    # The answer above or below stands ready in the form, so it comes with every entry.
    assert check("measured", {"count": 3, "girth_above": "union"}, METRIC) == {"count": 3}
    with pytest.raises(BadInput, match=r"at least one measure") as refusal:
        check("measured", {"girth_at_cm": 30, "girth_above": "union"}, METRIC)
    assert refusal.value.field == "height_cm"


@pytest.mark.parametrize(
    ("details", "field", "reason"),
    [
        ({}, "height_cm", "at least one measure"),
        ({"height_cm": 3001}, "height_cm", "from 0 to 3000"),
        ({"height_cm": 1, "height_ft": 1}, "height_ft", "Give it once"),
        ({"girth_cm": 20, "girth_above": "roof"}, "girth_above", "not one of the choices"),
        ({"count": 1.5}, "count", "whole number"),
    ],
)
def test_refused(details: dict[str, Any], field: str, reason: str) -> None:
    with pytest.raises(BadInput, match=reason) as refusal:
        check("measured", details, METRIC)
    assert refusal.value.field == field


def test_a_comma_is_a_decimal_point() -> None:
    assert from_post("measured", Posted({"girth_cm": ["12,5"]}), OWN_ROOTS)["girth_cm"] == 12.5


def test_the_usual_place_of_the_girth_goes_without_saying() -> None:
    # What stands ready is sent with every entry, so it must not be an answer.
    for facts, usual in ((METRIC, "union"), (NOT_KNOWN, "ground")):
        form = kind("measured").draw(facts)
        assert form.girth_above.data is None
        kept = check("measured", {"girth_cm": 22}, facts)
        assert kept["girth_above"] == usual
        assert "girth_above" not in form.written(kept)
    assert check("measured", {"girth_cm": 22, "girth_above": "ground"}, METRIC)["girth_above"] == "ground"
