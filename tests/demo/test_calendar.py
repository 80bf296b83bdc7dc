"""The demo's year keeps to the books: stages, problems and pickings stand in the months of quick-entry.toml.

That table is judgement throughout, built from the bloom months and problem seasons of the other tables; it is the
yardstick here because the demo is to be sensible, not because it is a finding.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from walkabout.demo.tables import crop_years, demo_plants, yard_table
from walkabout.reference.crops import crops
from walkabout.reference.likely import likely_notes
from walkabout.reference.problems import problems
from walkabout.reference.stages import stages_of

CROPS = sorted(crop_years())
NEAR = 1  # months; the lists hold for a whole climate, the demo for one place in it


def months_of(crop: str, fits: Callable[[str], bool]) -> set[int]:
    """Months of a warm northern yard in which a fitting choice is likely."""
    return {
        month
        for month in range(1, 13)
        if any(fits(note.choice) for note in likely_notes(crop, month, warm=True, southern=False))
    }


def is_near(month: int, months: set[int]) -> bool:
    """Whether the month is one of those or a neighbour."""
    return any(min((month - other) % 12, (other - month) % 12) <= NEAR for other in months)


def test_thirty_six_plants_of_eighteen_crops() -> None:
    plants = demo_plants()
    assert len(plants) == 36
    assert len({plant.name for plant in plants}) == 36
    assert {plant.crop for plant in plants} == set(CROPS) <= set(crops())
    assert len(CROPS) == 18
    assert len({(plant.x, plant.y) for plant in plants}) == 36
    assert sorted({plant.state for plant in plants}) == ["dead", "gone", "growing"]
    assert any(plant.litres for plant in plants)


@pytest.mark.parametrize("crop", CROPS)
def test_stages_stand_in_their_months(crop: str) -> None:
    known = {stage.key: stage for stage in stages_of(crop)}
    stages = crop_years()[crop].stages
    assert stages
    for key, day in stages:
        assert key in known
        months = months_of(crop, lambda choice, key=key: choice == key)  # type: ignore[misc]
        assert not months or is_near(day.month, months), (
            f"{crop} {key} in month {day.month}, books say {months}"
        )


@pytest.mark.parametrize("crop", CROPS)
def test_problems_stand_in_their_months(crop: str) -> None:
    for look in crop_years()[crop].looks:
        assert look.problem in problems()
        months = months_of(crop, lambda choice, name=look.problem: choice == name)  # type: ignore[misc]
        assert months, f"{crop}: the books do not list {look.problem}"
        for day in (look.begins, look.ends):
            assert is_near(day.month, months), (
                f"{crop} {look.problem} in month {day.month}, books say {months}"
            )


@pytest.mark.parametrize("crop", CROPS)
def test_fruit_is_picked_when_it_is_ripe(crop: str) -> None:
    harvest = crop_years()[crop].harvest
    months = months_of(crop, lambda choice: choice in ("ripe", "main_ripe"))
    assert is_near(harvest.begins.month, months)
    assert is_near(harvest.ends.month, months)
    assert 0 < harvest.bears < harvest.full


@pytest.mark.parametrize("month", range(1, 13))
def test_every_month_has_work_that_is_due(month: int) -> None:
    due = [task for task in yard_table()["task"] if month in task["months"]]
    assert len(due) >= 2
    names = {plant.name for plant in demo_plants() if plant.state == "growing"}
    for task in due:
        assert task["plant"] in names
        assert task["opens"] <= 0 < task["closes"]
