"""The walking order. How numbers in names are ordered is common practice, no source."""

from __future__ import annotations

from itertools import pairwise
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkabout.care.walk import beside, in_walking_order, natural_key
from walkabout.records.walk import Stand


def stand(name: str, spot: str = "", *, state: str = "growing", plant_id: str = "") -> Stand:
    """A plant somewhere."""
    return Stand(plant_id or f"{spot}/{name}", name, "fig", "", False, state, spot and f"id of {spot}", spot)


names = st.one_of(
    st.text(max_size=12), st.from_regex(r"(Row|row|Réihe) ?[0-9]{1,3}(, [0-9]{1,2})?", fullmatch=True)
)
yards = st.lists(
    st.builds(
        Stand,
        plant_id=st.uuids().map(str),
        name=names,
        crop=st.just("fig"),
        raised=st.just(""),
        container=st.booleans(),
        state=st.sampled_from(["growing", "growing", "dead", "gone", "wanted", "ordered"]),
        spot_id=st.just("x"),
        spot=names,
    ),
    unique_by=lambda one: one.plant_id,
    max_size=12,
)


def test_row_2_comes_before_row_10() -> None:
    order = in_walking_order([stand("a", "Row 10"), stand("b", "Row 2"), stand("c", "row 1")])
    assert [one.name for one in order] == ["c", "b", "a"]


def test_names_count_within_a_spot() -> None:
    order = in_walking_order([stand(f"Tree {number}", "Bed") for number in (11, 2, 1)])
    assert [one.name for one in order] == ["Tree 1", "Tree 2", "Tree 11"]


def test_what_has_no_spot_comes_last() -> None:
    order = in_walking_order([stand("Aa"), stand("Zz", "Zulu bed")])
    assert [one.name for one in order] == ["Zz", "Aa"]


def test_capitals_and_accents_do_not_part_a_row() -> None:
    assert natural_key("RÉIHE 2") == natural_key("reihe  2")


def test_a_number_of_thousands_of_digits_is_a_name_like_any_other() -> None:
    assert natural_key("9" * 5_000) > natural_key("10")


def test_a_dead_plant_is_passed_over_but_its_page_leads_on() -> None:
    order = in_walking_order([stand("1"), stand("2", state="dead"), stand("3")])
    first, dead, last = (one.plant_id for one in order)
    assert beside(order, first) == (None, last)
    assert beside(order, dead) == (first, last)
    assert beside(order, last) == (first, None)


def test_a_plant_that_is_not_there_is_said() -> None:
    with pytest.raises(ValueError, match="nowhere"):
        beside([stand("1")], "nowhere")


@given(yards, st.randoms())
def test_the_order_does_not_depend_on_how_the_plants_came(yard: list[Stand], chance: Random) -> None:
    mixed = list(yard)
    chance.shuffle(mixed)
    assert in_walking_order(mixed) == in_walking_order(yard)


@given(yards)
def test_a_walk_meets_every_growing_plant_once_and_leads_back(yard: list[Stand]) -> None:
    order = in_walking_order(yard)
    growing = [one.plant_id for one in order if one.state == "growing"]
    for before, after in pairwise(growing):
        assert beside(order, before).after == after
        assert beside(order, after).before == before
    if growing:
        assert beside(order, growing[0]).before is None
        assert beside(order, growing[-1]).after is None
