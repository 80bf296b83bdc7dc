"""Warm or cold yard; the limits are judgement, stated in the module."""

import pytest

from walkabout.horticulture.climate import frost_free_days, little_frost


@pytest.mark.parametrize(
    ("last", "first", "days"),
    [
        ((3, 1), (11, 26), 270),
        ((10, 15), (5, 1), 198),  # south: spring in October, autumn in May, over the turn of the year
        ((2, 29), (3, 1), 1),
    ],
)
def test_frost_free_days(last: tuple[int, int], first: tuple[int, int], days: int) -> None:
    assert frost_free_days(last, first) == days


@pytest.mark.parametrize(
    ("latitude", "last", "first", "frost_free", "warm"),
    [
        (44.0, None, None, True, True),
        (30.0, (2, 20), (12, 5), False, True),
        (44.0, (5, 20), (9, 25), False, False),
        (-33.9, (8, 1), (6, 15), False, True),
        (30.0, None, (12, 5), False, True),
        (-43.5, None, None, False, False),
    ],
)
def test_little_frost(
    latitude: float, last: tuple[int, int] | None, first: tuple[int, int] | None, frost_free: bool, warm: bool
) -> None:
    assert little_frost(latitude, last, first, frost_free=frost_free) is warm
