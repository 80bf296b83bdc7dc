"""How much fruit there is. The classes are common practice, no source."""

from datetime import date
from typing import Any

import pytest

from walkabout.entries.facts import KindFacts
from walkabout.entries.kinds import check, headline, kind, subject
from walkabout.errors import BadInput

APPLE = KindFacts("apple", grafted=True, units="us", today=date(2026, 5, 20))
FIG = KindFacts("fig", grafted=False, units="metric", today=date(2026, 5, 20))


@pytest.mark.parametrize(
    ("details", "words"),
    [
        ({"amount": "none"}, "No fruit set"),
        ({"amount": "heavy", "dropped": "some"}, "Heavy fruit set, some fruit dropped"),
        ({"amount": "good", "count": 1}, "Good fruit set, 1 fruit"),
        ({"count": 240}, "Fruit set, 240 fruits"),
        ({"dropped": "many"}, "Much fruit dropped"),
        ({"dropped": "none"}, "No fruit dropped"),
    ],
)
def test_told(details: dict[str, Any], words: str) -> None:
    assert check("fruit_set", details, APPLE) == details
    assert headline("fruit_set", details, APPLE) == words


@pytest.mark.parametrize(
    ("details", "field", "reason"),
    [
        ({}, "amount", "how much fruit"),
        ({"track": "main"}, "amount", "how much fruit"),
        ({"amount": "none", "count": 3}, "count", "Leave one of them out"),
        ({"amount": "huge"}, "amount", "not one of the choices"),
        ({"count": 1.5}, "count", "whole number"),
    ],
)
def test_refused(details: dict[str, Any], field: str, reason: str) -> None:
    with pytest.raises(BadInput, match=reason) as refusal:
        check("fruit_set", details, FIG)
    assert refusal.value.field == field


def test_no_fruit_may_be_counted_as_none() -> None:
    assert check("fruit_set", {"amount": "none", "count": 0}, APPLE) == {"amount": "none", "count": 0}


def test_a_fig_says_which_crop() -> None:
    # The fig bears a breba crop on last year's wood and a main crop on this year's (common practice, no source).
    assert [track for track, _words in kind("fruit_set").draw(FIG).track.choices] == ["breba", "main"]
    assert kind("fruit_set").draw(APPLE).track.choices == ()
    kept = check("fruit_set", {"amount": "good", "track": "breba"}, FIG)
    assert headline("fruit_set", kept, FIG) == "Good fruit set, breba crop"
    assert subject("fruit_set", kept) == "breba"
    assert subject("fruit_set", {"amount": "good"}) == ""
