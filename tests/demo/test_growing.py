"""Growth and measures in the demo: trunks do not shrink, and what is dead or only stock does not flower."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest

from walkabout.demo.days import Days
from walkabout.demo.story import story
from walkabout.demo.tables import demo_plants
from walkabout.reference.stages import fruiting_stages, growth_stages

TODAYS = [date(2027, 1, 15), date(2027, 4, 15), date(2027, 7, 15), date(2027, 10, 15), date(2028, 2, 29)]


@pytest.mark.parametrize("today", TODAYS)
def test_trunks_do_not_shrink(today: date) -> None:
    told = story(Days(today, 1))
    measured = 0
    for plant in demo_plants():
        girths = [
            seen.details["girth_in"]
            for seen in told
            if seen.plant == plant.name and seen.kind == "measured" and "girth_in" in seen.details
        ]
        assert all(before <= after for before, after in pairwise(girths)), (plant.name, girths)
        measured += len(girths) > 1
    assert measured > 10


@pytest.mark.parametrize("today", TODAYS)
def test_measured_once_a_year_while_it_is_bare(today: date) -> None:
    told = [seen for seen in story(Days(today, 1)) if seen.kind == "measured"]
    assert len({(seen.plant, seen.on.year) for seen in told}) == len(told)
    assert {seen.on.month for seen in told} <= {1, 2}


@pytest.mark.parametrize("today", TODAYS)
def test_stock_alone_neither_flowers_nor_bears(today: date) -> None:
    days = Days(today, 1)
    after = [seen for seen in story(days) if seen.plant == "Row lemon" and seen.on > days.freeze]
    assert {seen.details["stage"] for seen in after if seen.kind == "bloom"} <= {"none"}
    assert all("freeze" in seen.details.get("lost", ()) for seen in after if seen.kind == "harvest")
    assert "regrowth_below" in {seen.details["stage"] for seen in after if seen.kind == "growth"}


def test_stages_of_growth_are_those_of_the_crop() -> None:
    crops = {plant.name: plant.crop for plant in demo_plants()}
    for seen in story(Days(TODAYS[3], 1)):
        if seen.kind == "growth" and "/" in seen.details["stage"]:
            crop = crops[seen.plant]
            known = {stage.code for stage in (*growth_stages(crop), *fruiting_stages(crop))}
            assert seen.details["stage"] in known
