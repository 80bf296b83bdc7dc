"""Lengths in words, in the units of the yard."""

from walkabout.entries.fields import plain_number
from walkabout.entries.texts import gettext
from walkabout.horticulture.units import feet, inches

_METRE = 100  # cm


def short_words(length_cm: float, units: str) -> str:
    """A length near at hand, such as "12 in" or "30 cm"."""
    if units == "us":
        return gettext("%(length)s in", length=plain_number(round(inches(length_cm), 1)))
    return gettext("%(length)s cm", length=plain_number(round(length_cm, 1)))


def tall_words(length_cm: float, units: str) -> str:
    """A height or a spread, such as "7.5 ft", "2.4 m" or "80 cm"."""
    if units == "us":
        return gettext("%(length)s ft", length=plain_number(round(feet(length_cm / _METRE), 1)))
    if length_cm >= _METRE:
        return gettext("%(length)s m", length=plain_number(round(length_cm / _METRE, 2)))
    return short_words(length_cm, units)
