"""Cells say what they say, exactly; two-way dates are decided by the column or asked about."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkabout.errors import BadInput
from walkabout.imports.values import DateOrder, date_order, number, planted, yes_or_no

TODAY = date(2026, 3, 1)


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**8), max_value=10**8, places=4))
def test_numbers_are_read_as_written(value: Decimal) -> None:
    assert number(f"{value:f}") == value


def test_decimal_comma_only_where_the_comma_separates_nothing() -> None:
    assert number("12,5", decimal_comma=True) == Decimal("12.5")
    with pytest.raises(BadInput, match="plain number"):
        number("12,5")


@pytest.mark.parametrize(
    "text", ["", "ten", "1e5", "12 lb", "nan", "inf", "--4", "1,000.5", "٣", "1 000", "0x10"]
)
def test_what_is_no_plain_number(text: str) -> None:
    with pytest.raises(BadInput, match="plain number"):
        number(text)


def test_yes_and_no() -> None:
    assert [yes_or_no(text) for text in ("Yes", "pot", "", "No", "in ground")] == [
        True,
        True,
        False,
        False,
        False,
    ]
    with pytest.raises(BadInput, match="neither yes nor no"):
        yes_or_no("maybe")


@pytest.mark.parametrize(
    ("texts", "expected"),
    [
        (["2024-03-14", "2024-12-01"], None),
        (["14/3/2024", "1/2/2024"], True),
        (["3/14/2024", "1/2/2024"], False),
        (["3.3.2024"], None),  # the same day either way round
        (["about 14.3.2024"], True),
    ],
)
def test_the_column_proves_its_order(texts: list[str], expected: object) -> None:
    assert date_order(texts, "date", None).day_first is expected


def test_two_way_column_asks_and_is_answered() -> None:
    with pytest.raises(BadInput, match=r'column "picked", such as 1/2/2024, .*--dates dmy'):
        date_order(["1/2/2024"], "picked", None)
    assert date_order(["1/2/2024"], "picked", "dmy").read("1/2/2024") == date(2024, 2, 1)
    assert date_order(["1/2/2024"], "picked", "mdy").read("1/2/2024") == date(2024, 1, 2)


def test_column_both_ways_round_is_refused() -> None:
    with pytest.raises(BadInput, match="14/3/2024 and 3/14/2024"):
        date_order(["14/3/2024", "3/14/2024"], "date", None)


@given(st.dates(date(1800, 1, 1), date(2199, 12, 31)), st.sampled_from([True, False]), st.sampled_from("/.-"))
def test_any_day_of_the_calendar_reads_back(day: date, day_first: bool, sign: str) -> None:
    first, second = (day.day, day.month) if day_first else (day.month, day.day)
    assert DateOrder(day_first).read(f"{first}{sign}{second}{sign}{day.year}") == day
    assert DateOrder(day_first).read(day.isoformat()) == day


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("2023-02-29", "not a day of the calendar"),
        ("31/12/23", "two digits"),
        ("yesterday", "not a date"),
        ("1799-12-31", "before 1800"),
        ("14/3-2024", "not a date"),
    ],
)
def test_what_is_no_date(text: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        DateOrder(None).read(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", (None, False)),
        ("2021", ("2021", False)),
        ("about 2021", ("2021", True)),
        ("~2021", ("2021", True)),
        ("c. 2021-3", ("2021-03", True)),
        ("3/2021", ("2021-03", False)),
        ("2021-03-14", ("2021-03-14", False)),
        ("14/3/2021", ("2021-03-14", False)),
    ],
)
def test_planted(text: str, expected: object) -> None:
    assert planted(text, DateOrder(None), TODAY) == expected


@pytest.mark.parametrize("text", ["2027", "2026-04", "2026-03-02", "2021-13", "13/2021", "0021", "spring"])
def test_planted_not_taken(text: str) -> None:
    with pytest.raises(BadInput):
        planted(text, DateOrder(None), TODAY)
