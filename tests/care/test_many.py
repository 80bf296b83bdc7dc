"""Groups of plants, and what a note on one may say."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkabout.care.many import Group, group_choices, group_facts, groups
from walkabout.entries.facts import KindFacts, grafted
from walkabout.entries.fields import SeveralField, TapField
from walkabout.entries.kinds import KINDS
from walkabout.errors import BadInput
from walkabout.records.walk import Stand
from walkabout.records.yards import FrostDate, Yard

YARD = Yard(
    "y",
    "Long Meadow",
    42.6,
    -76.4,
    "America/New_York",
    "us",
    FrostDate(5, 12),
    FrostDate(10, 6),
    frost_free=False,
)
CITRUS = ("lemon", "lime", "mandarin", "sweet_orange", "grapefruit", "kumquat")
TODAY = date(2026, 11, 24)


def stand(number: int, **facts: Any) -> Stand:
    """A growing plant somewhere."""
    given: dict[str, Any] = {
        "crop": "apple", "raised": "grafted", "container": False, "state": "growing", "spot_id": "", "spot": "",
    }  # fmt: skip
    return Stand(plant_id=f"plant {number}", name=f"Tree {number}", **{**given, **facts})


def by_name(stands: list[Stand]) -> dict[str, list[str]]:
    """The names of the plants of each group."""
    return {group.name: [one.name for one in group.plants] for group in groups(stands)}


def test_a_row_is_what_its_spots_have_in_common() -> None:
    row = [stand(n, spot=f"Citrus row, {n}", spot_id=f"s{n}") for n in (10, 2, 1)]
    found = by_name([*row, stand(4, spot="Gate", spot_id="g")])
    assert found["Citrus row"] == ["Tree 1", "Tree 2", "Tree 10"]
    assert "Gate" not in found  # one plant alone is no group


def test_three_trees_in_one_hole_are_a_group_and_so_is_their_row() -> None:
    hole = [stand(n, spot="Row 2, 5", spot_id="hole") for n in (1, 2, 3)]
    found = by_name([*hole, stand(4, spot="Row 2, 6", spot_id="next")])
    assert found["Row 2, 5"] == ["Tree 1", "Tree 2", "Tree 3"]
    assert found["Row 2"] == ["Tree 1", "Tree 2", "Tree 3", "Tree 4"]


def test_a_spot_that_is_the_whole_row_is_told_once() -> None:
    found = groups([stand(n, spot="Row 2", spot_id="row") for n in (1, 2)])
    assert [group.name for group in found if group.sort == "place"] == ["Row 2"]


def test_all_citrus_is_a_group_when_several_kinds_of_it_grow() -> None:
    one_kind = [stand(1, crop="mandarin"), stand(2, crop="mandarin")]
    assert "All citrus" not in by_name(one_kind)
    found = by_name([*one_kind, stand(3, crop="lemon"), stand(4, crop="fig")])
    assert found["All citrus"] == ["Tree 1", "Tree 2", "Tree 3"]
    assert found["Mandarin"] == ["Tree 1", "Tree 2"]


def test_pots_and_everything_and_what_is_ticked_by_hand() -> None:
    yard = [
        stand(1, container=True),
        stand(2, container=True),
        stand(3),
        stand(4, state="dead", container=True),
    ]
    found = {group.key: group for group in groups(yard)}
    assert [one.name for one in found["pots"].plants] == ["Tree 1", "Tree 2"]
    assert [one.name for one in found["all"].plants] == ["Tree 1", "Tree 2", "Tree 3"]
    assert found["all"].plants == found["these"].plants
    assert (found["all"].ticked, found["these"].ticked) == (True, False)


def test_where_nothing_grows_there_is_no_group() -> None:
    assert groups([stand(1, state="dead")]) == ()


def test_a_crop_in_the_growers_own_words_has_an_address() -> None:
    found = groups([stand(n, crop="çà et là/?") for n in (1, 2)])
    (own,) = [group for group in found if group.sort == "crop"]
    assert own.name == "çà et là/?"
    assert own.key.removeprefix("crop-").isalnum()
    assert own.key.isascii()


def test_the_digest_changes_with_what_the_page_says_and_with_nothing_else() -> None:
    yard = [stand(1), stand(2)]
    before = groups(yard)[0].digest
    assert groups(yard[::-1])[0].digest == before
    assert groups([yard[0], replace(yard[1], name="Old gate fig")])[0].digest != before
    assert groups([yard[0], replace(yard[1], raised="seed")])[0].digest != before
    assert groups([*yard, stand(3)])[0].digest != before


@pytest.mark.parametrize("month", range(1, 13))
def test_leaf_miner_and_watering_are_among_the_six_first_choices_for_citrus(month: int) -> None:
    yard = [stand(1, crop="mandarin"), stand(2, crop="mandarin"), stand(3, crop="lemon")]
    group = next(group for group in groups(yard) if group.key == "family-citrus")
    choices = group_choices(group_facts(group, YARD, TODAY.replace(month=month)))
    presets = [choice.preset for choice in choices]
    assert len(choices) == 6
    assert {"work": ["watered"]} in presets
    assert {"problem": "citrus_leafminer"} in presets


def test_a_mixed_row_is_offered_work_and_no_problem_of_one_crop() -> None:
    (group, *_) = groups([stand(1, crop="apple"), stand(2, crop="mandarin")])
    choices = group_choices(group_facts(group, YARD, TODAY))
    assert group.crop == ""
    assert len(choices) == 6
    assert not any("problem" in choice.preset for choice in choices)


stands = st.lists(
    st.builds(
        stand,
        st.integers(0, 10_000),
        crop=st.sampled_from([*CITRUS, "apple", "fig", "peach", "strawberry", "quince tree"]),
        raised=st.sampled_from(["", "grafted", "budded", "cutting", "seed"]),
        container=st.booleans(),
        spot=st.sampled_from(["", "Row 1, 1", "Row 1, 2", "Bed"]),
        spot_id=st.just("x"),
    ),
    min_size=1,
    max_size=6,
    unique_by=lambda one: one.plant_id,
)


def any_answer(field: Any, chance: Any) -> Any:
    """An answer that a field offers; None for one that is typed."""
    if isinstance(field, TapField):
        return chance.choice([value for value, _words in field.choices] or [None])
    if isinstance(field, SeveralField):
        offered = [value for value, _words in field.choices]
        return chance.sample(offered, chance.randint(1, min(3, len(offered)))) if offered else None
    return None


@given(stands, st.sampled_from([kind.key for kind in KINDS.values() if kind.on_plants]), st.randoms())
def test_what_a_groups_form_takes_every_plant_of_it_takes(yard: list[Stand], key: str, chance: Any) -> None:
    group: Group = chance.choice(groups(yard))
    facts, kind = group_facts(group, YARD, TODAY), KINDS[key]
    answers = {field.name: any_answer(field, chance) for field in kind.draw(facts) if chance.random() < 0.5}
    details = {name: value for name, value in answers.items() if value is not None}
    try:
        kept = kind.check(details, facts)
    except BadInput:  # some answers exclude each other; the law is about those that are taken
        return
    for one in group.plants:
        kind.check(kept, KindFacts(one.crop, grafted(one.raised), YARD.units, TODAY))


@given(stands)
def test_no_group_has_a_plant_twice_and_everything_has_all(yard: list[Stand]) -> None:
    for group in groups(yard):
        assert max(Counter(group.plants).values()) == 1
        assert set(group.plants) <= set(yard)
    assert set(groups(yard)[0].plants) == set(yard)
