import pytest

from walkabout.reference import problems
from walkabout.reference.crops import crops
from walkabout.reference.tables import TableError, table


def test_every_row_loads() -> None:
    assert len(problems.problems()) == 145


@pytest.mark.parametrize("crop", [*crops(), "quince", "medlar", ""])
def test_every_plant_has_those_of_any_plant(crop: str) -> None:
    listed = problems.problems_of(crop)
    assert len(listed) == len(set(listed))
    assert problems.problem("hail") in listed


def test_aliases_reach_their_crops() -> None:
    # pests.toml lists the leafminer for "citrus", an alias of six crops.
    for crop in ("lemon", "lime", "mandarin", "sweet_orange", "grapefruit", "kumquat"):
        assert problems.problem("citrus_leafminer") in problems.problems_of(crop)
    assert problems.problem("citrus_leafminer") not in problems.problems_of("apple")
    assert problems.problem("fire_blight") in problems.problems_of("quince")


def test_greening_is_reportable() -> None:
    # Citrus greening is a regulated disease in the United States (USDA APHIS, citrus quarantine): from memory.
    assert problems.problem("citrus_greening").reportable


def test_a_bad_row_names_its_file_and_row() -> None:
    row = {**table("pests")["problem"][0], "recheck_days": "soon"}
    with pytest.raises(
        TableError, match=r"pests.toml problem x: recheck_days must be a whole number from 1 to 60"
    ):
        problems._read(row, "pests.toml problem x")
    row = {**table("pests")["problem"][0], "crops": ["turnip"]}
    with pytest.raises(TableError, match=r"pests.toml problem x: 'turnip' is neither"):
        problems._read(row, "pests.toml problem x")
