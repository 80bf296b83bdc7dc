from datetime import date

import pytest

from walkabout.entries.damage import CAUSE_OF_PROBLEM, CAUSES, happened_on, is_open
from walkabout.entries.facts import KindFacts, grafted
from walkabout.entries.kinds import check, headline, kind, subject
from walkabout.errors import BadInput
from walkabout.reference.problems import problem

SEEN_ON = date(2026, 1, 15)


def facts(*, on_rootstock: bool | None = True, units: str = "metric") -> KindFacts:
    return KindFacts("fig", grafted=on_rootstock, units=units, today=SEEN_ON)


@pytest.mark.parametrize("raised", ["cutting", "seed", "layer", "division"])
def test_a_plant_on_its_own_roots_is_not_asked_about_a_union(raised: str) -> None:
    own = facts(on_rootstock=grafted(raised))
    assert "lowest_living" not in kind("damage").draw(own)
    with pytest.raises(BadInput, match=r"on its own roots") as refusal:
        check("damage", {"cause": "frost", "lowest_living": "below"}, own)
    assert refusal.value.field == "lowest_living"


@pytest.mark.parametrize("raised", ["grafted", "budded", "", "bought"])
def test_others_are_asked(raised: str) -> None:
    asked = facts(on_rootstock=grafted(raised))
    for living in ("above", "at", "below", "too_early"):
        details = {"cause": "frost", "lowest_living": living}
        assert check("damage", details, asked) == details


@pytest.mark.parametrize(
    ("when", "day"),
    [
        ({"nights_ago": "1"}, date(2026, 1, 14)),
        ({"nights_ago": "3"}, date(2026, 1, 12)),
        ({"happened_on": "2025-12-24"}, date(2025, 12, 24)),
        ({"happened_on": "2025-12-24", "nights_ago": "1"}, date(2025, 12, 24)),
        ({}, None),
    ],
)
def test_when_it_happened_is_apart_from_when_it_was_seen(when: dict[str, str], day: date | None) -> None:
    kept = check("damage", {"cause": "frost", **when}, facts())
    assert happened_on(kept, SEEN_ON) == day
    assert len(kept) <= 2  # said once


def test_height_in_the_units_of_the_yard() -> None:
    kept = check("damage", {"cause": "frost", "dead_back_to_in": 16}, facts(units="us"))
    assert kept["dead_back_to_cm"] == pytest.approx(40.64)  # 16 in x 2.54 cm/in (NIST SP 811, B.8)
    assert headline("damage", kept, facts(units="us")) == "Frost, dead back to 16 in"
    assert headline("damage", kept, facts()) == "Frost, dead back to 40.6 cm"
    assert kind("damage").draw(facts(units="us"), kept).dead_back_to.written == "16"


def test_problems_told_as_damage_exist() -> None:
    assert set(CAUSE_OF_PROBLEM.values()) <= set(dict(CAUSES))
    assert all(problem(name) for name in CAUSE_OF_PROBLEM)


@pytest.mark.parametrize(
    ("details", "kept", "words", "about"),
    [
        ({"cause": "any"}, {"seen": "none"}, "Looked, no damage", "any"),
        ({"seen": "none"}, {"seen": "none"}, "Looked, no damage", "any"),
        (
            {"cause": "frost", "seen": "none", "nights_ago": "1", "part": "leaves", "share": "0-10"},
            {"cause": "frost", "seen": "none", "nights_ago": "1"},
            "Frost: looked, no damage, the night before",
            "frost",
        ),
        (
            {"cause": "wind", "seen": "over"},
            {"cause": "wind", "seen": "over"},
            "Wind or storm: healed or over",
            "wind",
        ),
        ({"cause": "hail", "seen": "yes"}, {"cause": "hail"}, "Hail", "hail"),
    ],
)
def test_looked_and_over(details: dict[str, str], kept: dict[str, str], words: str, about: str) -> None:
    assert check("damage", details, facts()) == kept
    assert headline("damage", kept, facts()) == words
    assert subject("damage", kept) == about
    assert is_open(kept) == (kept.get("seen") is None)


def test_what_is_over_has_a_cause() -> None:
    for details in ({}, {"seen": "over"}, {"seen": "yes"}):
        with pytest.raises(BadInput, match=r"Choose the cause") as refusal:
            check("damage", details, facts())
        assert refusal.value.field == "cause"


def test_what_the_month_brings_is_in_sight() -> None:
    january = KindFacts("mandarin", grafted=True, units="us", today=date(2026, 1, 14), warm=True)
    in_sight = [value for value, _words in kind("damage").draw(january).cause.in_sight]
    assert in_sight[0] == "frost"
    assert in_sight[-1] == "any"
    assert {value for value, _words in kind("damage").draw(january).cause.choices} == {"any", *dict(CAUSES)}


def test_a_damage_entry_is_corrected_from_what_it_says() -> None:
    drawn = kind("damage").draw(facts(), {"seen": "none"})
    assert (drawn.cause.data, drawn.seen.data) == ("any", "none")
    drawn = kind("damage").draw(facts(), {"cause": "frost"})
    assert (drawn.cause.data, drawn.seen.data) == ("frost", "yes")
