"""The demo's year keeps to the books: stages, problems and pickings stand in the months of quick-entry.toml.

That table is judgement throughout, built from the bloom months and problem seasons of the other tables; it is the
yardstick here because the demo is to be sensible, not because it is a finding.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

import pytest

from walkabout.demo.tables import crop_years, demo_plants, events_table
from walkabout.reference.crops import crops
from walkabout.reference.likely import likely_notes
from walkabout.reference.problems import problems
from walkabout.reference.stages import stages_of
from walkabout.reference.tables import table
from walkabout.reference.works import works

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


def test_the_plants() -> None:
    plants = demo_plants()
    lived = [plant for plant in plants if plant.lived]
    assert len(lived) == 41
    assert {plant.crop for plant in lived} == set(CROPS)
    assert {plant.crop for plant in plants} <= set(crops())
    assert len(CROPS) == 18
    by_name = {plant.name: plant for plant in plants}
    assert len(by_name) == len(plants) == 45
    assert Counter(plant.state for plant in plants if not plant.merged_into) == {
        "growing": 38, "dead": 1, "gone": 2, "ordered": 1, "wanted": 2,
    }  # fmt: skip
    assert [plant.name for plant in plants if plant.merged_into] == ["June peach"]
    for plant in plants:
        assert not plant.raised_from or by_name[plant.raised_from].age > plant.age  # type: ignore[operator]
        assert bool(plant.ended) == bool(plant.ended_why) == (plant.state in ("dead", "gone"))
        assert plant.lived or plant.state in ("wanted", "ordered") or plant.merged_into in by_name


def test_spots_of_several_plants_have_one_position() -> None:
    positions: dict[str, set[tuple[float, float]]] = {}
    shared = Counter(plant.spot for plant in demo_plants() if plant.lived)
    for plant in demo_plants():
        if plant.x is not None and plant.y is not None:
            positions.setdefault(plant.spot, set()).add((plant.x, plant.y))
    assert all(len(found) == 1 for found in positions.values())
    assert len({at for found in positions.values() for at in found}) == len(positions)
    assert [spot for spot, many in shared.items() if many > 1] == ["Peach row, 5", "Pine straw bed, 1"]
    assert any(plant.pot_gal for plant in demo_plants())


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


def months_of_work(key: str, crop: str) -> set[int]:
    """Months of the table of works (judgement, as it says) for a crop; none where it lists none, or where the
    product says when."""
    if key == "sprayed":
        return set()
    sets = table("works")["crops"]
    listed = works()[key].months.items()
    return {month for name, months in listed if name == "all" or crop in sets[name] for month in months}


@pytest.mark.parametrize("crop", CROPS)
def test_work_is_known_and_stands_in_its_months(crop: str) -> None:
    for row in crop_years()[crop].works:
        for key in row.do["work"]:
            months = months_of_work(key, crop)
            assert not months or is_near(row.on.month, months), f"{crop} {key}: {row.on}, the table {months}"
        if row.undo is not None:
            assert row.undone_on is not None
            for key in row.undo["work"]:
                months = months_of_work(key, crop)
                assert not months or is_near(row.undone_on.month, months), f"{crop} {key}: {row.undone_on}"


@pytest.mark.parametrize("month", range(1, 13))
def test_every_month_has_work_that_is_due(month: int) -> None:
    due = [task for task in events_table()["task"] if month in task["months"]]
    assert len(due) >= 2
    names = {plant.name for plant in demo_plants() if plant.state == "growing"}
    for task in due:
        assert task["plant"] in names
        assert task["opens"] <= 0 < task["closes"]
