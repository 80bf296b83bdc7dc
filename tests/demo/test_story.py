"""The story holds for whatever day it is told on: nothing ahead, nothing before planting, a freeze and what grew back."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from itertools import pairwise

from hypothesis import example, given, settings
from hypothesis import strategies as st

from walkabout.demo.days import Days
from walkabout.demo.seen import CITRUS, Seen, share_words
from walkabout.demo.story import story
from walkabout.demo.tables import crop_years, demo_plants

DAYS = st.dates(date(2025, 1, 1), date(2040, 12, 31))
TODAY = date(2026, 11, 25)


def weight_lb(told: list[Seen], plant: str, year: int) -> float:
    """What was picked of a plant in a calendar year, without what was only counted."""
    return sum(
        float(seen.details.get("weight_lb", 0))
        for seen in told
        if seen.plant == plant and seen.on.year == year
    )


@settings(deadline=None, max_examples=25)
@given(DAYS)
@example(date(2028, 2, 29))
@example(date(2027, 1, 1))
def test_nothing_lies_ahead_or_outside_a_plants_life(today: date) -> None:
    days = Days(today, 1)
    told = story(days)
    assert 1200 < len(told) < 2800
    plants = {plant.name: plant for plant in demo_plants()}
    for seen in told:
        plant = plants[seen.plant]
        assert days.first <= seen.on < today
        assert plant.lived or seen.kind == "note"
        if (planted := days.planted(plant)) is not None:
            assert seen.on >= planted
        if (ended := days.ended(plant)) is not None:
            assert seen.on <= ended
    assert {plant.name for plant in plants.values() if plant.lived} <= {seen.plant for seen in told}
    assert told == sorted(told, key=lambda seen: seen.on)
    assert (today - told[0].on).days > 4 * 365 - 60
    assert (today - told[-1].on).days < 30


@settings(deadline=None, max_examples=25)
@given(DAYS)
@example(date(2028, 2, 29))
def test_the_freeze_is_past_and_what_came_of_it_is_told(today: date) -> None:
    days = Days(today, 1)
    # The last note of the recovery is of day 140.
    assert 140 < (today - days.freeze).days <= 566
    told = story(days)
    lemon = [seen for seen in told if seen.plant == "Row lemon" and seen.kind == "damage"]
    assert [seen.details["lowest_living"] for seen in lemon] == ["too_early", "too_early", "below"]
    assert all(seen.details["happened_on"] == days.freeze.isoformat() for seen in lemon)
    frozen = {plant.name for plant in demo_plants() if plant.crop in CITRUS and plant.pot_gal is None}
    for seen in told:
        if seen.kind == "harvest" and seen.plant in frozen and "lost" not in seen.details:
            assert not days.freeze <= seen.on <= days.freeze + timedelta(days=70)


def test_the_same_seed_tells_the_same_story() -> None:
    assert story(Days(TODAY, 1)) == story(Days(TODAY, 1))
    assert story(Days(TODAY, 1)) != story(Days(TODAY, 2))


def test_young_plants_bear_more_each_year() -> None:
    told = story(Days(TODAY, 1))
    for name in ("Thornless row", "Row lemon"):
        years = [weight_lb(told, name, year) for year in range(2023, 2026)]
        assert all(before <= after for before, after in pairwise(years)), f"{name}: {years}"
        assert years[-1] > 0


def test_a_believable_number_of_entries() -> None:
    # For some forty plants; common practice of people who write things down, no source.
    for today in (date(2027, 1, 15), date(2027, 4, 15), date(2027, 7, 15), date(2027, 10, 15)):
        told = story(Days(today, 1))
        for year in range(today.year - 3, today.year):
            assert 300 <= sum(seen.on.year == year for seen in told) <= 700
        kinds = Counter(seen.kind for seen in told)
        assert max(kinds.values()) < len(told) / 3


def test_off_years() -> None:
    told = story(Days(TODAY, 1))
    years = [weight_lb(told, "Morning satsuma", year) for year in (2023, 2024, 2025)]
    assert years[1] < 0.6 * min(years[0], years[2])


def test_leaf_miner_comes_in_flushes() -> None:
    told = story(Days(TODAY, 1))
    months = {
        seen.on.month
        for seen in told
        if seen.details.get("problem") == "citrus_leafminer" and seen.details.get("seen") != "none"
    }
    assert {6, 7, 9} <= months <= {6, 7, 8, 9, 10, 11}


def test_bloom_goes_forward() -> None:
    told = story(Days(TODAY, 1))
    for plant in demo_plants():
        for year in range(2023, 2027):
            codes = [
                int(seen.details["stage"].partition("/")[2])
                for seen in told
                if seen.plant == plant.name
                and seen.kind == "bloom"
                and seen.on.year == year
                and seen.details["stage"].startswith("crop/")
            ]
            if plant.crop != "loquat":  # blooms over New Year
                assert codes == sorted(codes)


def test_they_walk_on_their_days() -> None:
    told = story(Days(TODAY, 1))
    any_day = {"planted", "protected", "uncovered", "carried_in", "carried_out", "grafted"}
    walked = [
        seen
        for seen in told
        if seen.kind not in ("note", "damage")
        and not any_day.intersection(seen.details.get("work", ()))
        and "after_freeze" not in seen.details.get("pruned_for", ())
    ]
    assert {seen.on.weekday() for seen in walked} == {2, 5, 6}


def test_shares_are_those_of_the_forms() -> None:
    assert [share_words(percent) for percent in (0, 10, 11, 25, 50, 75, 76, 100)] == [
        "0-10", "0-10", "10-25", "10-25", "25-50", "50-75", "75-100", "75-100",
    ]  # fmt: skip


def test_every_crop_has_a_year() -> None:
    assert {plant.crop for plant in demo_plants() if plant.lived} == crop_years().keys()
