"""quick-entry.toml is judgement throughout: only its joins are checked here."""

import pytest

from walkabout.reference import likely
from walkabout.reference.crops import crops
from walkabout.reference.likely import likely_notes, usual_problems
from walkabout.reference.problems import problem
from walkabout.reference.tables import TableError


@pytest.mark.parametrize("crop", crops())
@pytest.mark.parametrize("warm", [True, False])
def test_every_row_loads(crop: str, warm: bool) -> None:
    for month in range(1, 13):
        assert likely_notes(crop, month, warm=warm, southern=False)


def test_the_south_is_six_months_away() -> None:
    for month in range(1, 13):
        here = likely_notes("apple", month, warm=False, southern=True)
        assert here == likely_notes("apple", (month + 5) % 12 + 1, warm=False, southern=False)


def test_unknown_crop_has_none() -> None:
    assert likely_notes("medlar", 4, warm=True, southern=False) == ()
    assert usual_problems("medlar") == ()


def test_leafminer_is_usual_on_all_citrus() -> None:
    for crop in ("lemon", "lime", "mandarin", "sweet_orange", "grapefruit", "kumquat"):
        assert "citrus_leafminer" in usual_problems(crop)
        assert all(problem(name) for name in usual_problems(crop))


def test_a_choice_that_resolves_to_nothing_is_refused() -> None:
    with pytest.raises(TableError, match=r"list apple warm 3: 'turnip_bloom' has no"):
        likely._read("apple", "turnip_bloom", "quick-entry.toml list apple warm 3")
    with pytest.raises(TableError, match=r"'feather_flush' is no stage of apple"):
        likely._read("apple", "feather_flush", "quick-entry.toml list apple warm 3")
