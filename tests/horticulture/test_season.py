"""The nth leaf. Common practice, no source; the months are those that the module's rule states."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkabout.horticulture.season import leaf_number, season_begun

NORTH, SOUTH = 32.8, -33.9
days = st.dates(date(1990, 1, 1), date(2060, 12, 31))
latitudes = st.sampled_from([64.1, NORTH, 0.0, -0.1, SOUTH])


@pytest.mark.parametrize(
    ("planted", "today", "latitude", "leaf"),
    [
        ("2021-02-10", date(2021, 2, 20), NORTH, 0),  # bare-root, its first season not begun
        ("2021-02-10", date(2021, 3, 1), NORTH, 1),
        ("2021-06-30", date(2021, 12, 24), NORTH, 1),  # planted in leaf: the season counts
        ("2021-06-30", date(2022, 2, 28), NORTH, 1),  # no anniversary, no new leaf in winter
        ("2021-06-30", date(2022, 3, 1), NORTH, 2),
        ("2021-10-01", date(2022, 2, 28), NORTH, 0),
        ("2021-10-01", date(2022, 3, 1), NORTH, 1),
        ("2021", date(2025, 6, 1), NORTH, 5),
        ("2021", date(2021, 1, 15), NORTH, 0),
        ("2021-11", date(2022, 6, 1), NORTH, 1),
        ("2021-07-15", date(2021, 8, 31), SOUTH, 0),  # winter planting in the south
        ("2021-07-15", date(2021, 9, 1), SOUTH, 1),
        ("2021-01-15", date(2021, 2, 1), SOUTH, 1),  # southern summer: the season begun in September 2020
        ("2021-01-15", date(2021, 9, 1), SOUTH, 2),
        ("2021", date(2021, 10, 1), SOUTH, 1),
        (None, date(2021, 10, 1), NORTH, None),
    ],
)
def test_leaf(planted: str | None, today: date, latitude: float, leaf: int | None) -> None:
    assert leaf_number(planted, today, latitude) == leaf


@pytest.mark.parametrize("planted", ["", "21", "2021-3", "2021-02-30", "2021-13", "spring 2021", "٢٠٢١"])
def test_no_date_is_refused(planted: str | None) -> None:
    with pytest.raises(ValueError, match=r"date|month|day"):
        leaf_number(planted, date(2025, 1, 1), NORTH)


@given(days, days, latitudes)
def test_a_year_later_is_one_leaf_more(planted: date, today: date, latitude: float) -> None:
    leaf = leaf_number(planted.isoformat(), today, latitude)
    later = leaf_number(planted.isoformat(), date(today.year + 1, today.month, min(today.day, 28)), latitude)
    if leaf:
        assert later == leaf + 1


@given(days, days, latitudes)
def test_never_falls_and_never_jumps(planted: date, today: date, latitude: float) -> None:
    leaf = leaf_number(planted.isoformat(), today, latitude)
    tomorrow = leaf_number(planted.isoformat(), today + timedelta(days=1), latitude)
    assert 0 <= tomorrow - leaf <= 1


@given(days, latitudes)
def test_planted_today_is_in_its_first_leaf_or_waits(today: date, latitude: float) -> None:
    assert leaf_number(today.isoformat(), today, latitude) in (0, 1)


@given(days, latitudes)
def test_a_season_lasts_a_year(today: date, latitude: float) -> None:
    begun = season_begun(today, latitude)
    assert begun <= today < date(begun.year + 1, begun.month, 1)
