"""Factors against NIST Special Publication 811 (2008), appendix B.8."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkabout.horticulture import units

amounts = st.floats(min_value=0, max_value=1e6)


@pytest.mark.parametrize(
    ("convert", "expected"),
    [
        (
            units.kilograms,
            0.45359237,
        ),  # "pound (avoirdupois) (lb)": 4.535 924 E-01; exact by the 1959 agreement
        (units.centimetres, 2.54),  # "inch (in)": 2.54 E+00, exact
        (units.metres, 0.3048),  # "foot (ft)": 3.048 E-01, exact
        (units.litres, 231 * 2.54**3 / 1000),  # "gallon (U.S.)": 3.785 412 E+00; exactly 231 cubic inches
    ],
)
def test_one_of_each(convert: Callable[[float], float], expected: float) -> None:
    assert convert(1.0) == pytest.approx(expected, rel=1e-15)


@given(amounts)
def test_there_and_back(amount: float) -> None:
    pairs = [
        (units.kilograms, units.pounds),
        (units.centimetres, units.inches),
        (units.metres, units.feet),
        (units.litres, units.gallons),
    ]
    for to_metric, back in pairs:
        assert back(to_metric(amount)) == pytest.approx(amount, rel=1e-12)
