"""Amounts of feed and spray: what is written in the units of a yard, what is stored of it, and their words."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from walkabout.entries.fields import plain_number
from walkabout.entries.texts import gettext
from walkabout.horticulture.units import (
    FLUID_OUNCES_PER_GALLON,
    GRAMS_PER_OUNCE,
    LITRES_PER_GALLON,
    TABLESPOONS_PER_GALLON,
    TEASPOONS_PER_GALLON,
    gallons,
    pounds,
)

_GRAMS = 1000  # in a kilogram, and millilitres in a litre
# A smaller mass is shown in grams or ounces.
_SMALL_KG = {"metric": 1.0, "us": 0.25 * GRAMS_PER_OUNCE * 16 / _GRAMS}


class RateUnit(NamedTuple):
    """A unit of a spray's rate, product in a volume of spray.

    Attributes:
        stored: the unit in which it is stored, "ml_l" or "g_l".
        units: the yards that are offered it, "us" or "metric".
        factor: stored units in one of these.
    """

    stored: str
    units: str
    factor: float
    words: str


# Of one stored unit and one kind of yard the larger units come later.
RATE_UNITS: Mapping[str, RateUnit] = {
    "ml_l": RateUnit("ml_l", "metric", 1, "mL/L"),
    "g_l": RateUnit("g_l", "metric", 1, "g/L"),
    "tsp_gal": RateUnit("ml_l", "us", 1000 / TEASPOONS_PER_GALLON, "tsp/gal"),
    "tbsp_gal": RateUnit("ml_l", "us", 1000 / TABLESPOONS_PER_GALLON, "tbsp/gal"),
    "floz_gal": RateUnit("ml_l", "us", 1000 / FLUID_OUNCES_PER_GALLON, "fl oz/gal"),
    "oz_gal": RateUnit("g_l", "us", GRAMS_PER_OUNCE / LITRES_PER_GALLON, "oz/gal, dry"),
}
_LEAST_SHOWN = {"tbsp_gal": 1, "floz_gal": 4}  # of less a smaller unit is shown


def stored_feed(given: Mapping[str, Any]) -> dict[str, Any]:
    """Kilograms and grams of feed are one amount, `feed_kg`; so are pounds and ounces, which were converted before."""
    kept = dict(given)
    if "feed_g" in kept:
        kept["feed_kg"] = kept.get("feed_kg", 0) + kept.pop("feed_g") / _GRAMS
    return kept


def written_feed(details: Mapping[str, Any], units: str) -> dict[str, Any]:
    """A small amount of feed stands in the field of the small unit."""
    shown = dict(details)
    if "feed_kg" in details and details["feed_kg"] < _SMALL_KG[units]:
        shown["feed_g"] = round(shown.pop("feed_kg") * _GRAMS, 3)
    return shown


def stored_rate(given: Mapping[str, Any]) -> dict[str, Any]:
    """The rate in millilitres or grams of product in a litre of spray; a unit without a number is dropped."""
    kept = dict(given)
    unit = RATE_UNITS.get(kept.pop("rate_unit", ""))
    if unit and "rate" in kept:
        kept |= {"rate": kept["rate"] * unit.factor, "rate_unit": unit.stored}
    return kept


def written_rate(details: Mapping[str, Any], units: str) -> dict[str, Any]:
    """A stored rate in the unit in which a yard shows it."""
    shown = dict(details)
    if "rate" in details:
        unit = _shown_unit(details, units)
        shown |= {"rate": round(details["rate"] / RATE_UNITS[unit].factor, 4), "rate_unit": unit}
    return shown


def rate_words(details: Mapping[str, Any], units: str) -> str | None:
    """Such as "2 tbsp/gal"; None where no rate was noted."""
    if "rate" not in details:
        return None
    unit = RATE_UNITS[_shown_unit(details, units)]
    return f"{plain_number(round(details['rate'] / unit.factor, 2))} {unit.words}"


def volume_words(litres: float | None, units: str) -> str | None:
    """Such as "5 gal" or "20 L"; None for None."""
    if litres is None:
        return None
    if units == "us":
        return gettext("%(volume)s gal", volume=plain_number(round(gallons(litres), 2)))
    return gettext("%(volume)s L", volume=plain_number(round(litres, 2)))


def mass_words(kilograms: float | None, units: str) -> str | None:
    """Such as "0.5 lb", "2 oz", "1.5 kg" or "200 g"; None for None."""
    if kilograms is None:
        return None
    small = kilograms < _SMALL_KG[units]
    if units == "us":
        ounces = plain_number(round(kilograms * _GRAMS / GRAMS_PER_OUNCE, 1))
        weight = plain_number(round(pounds(kilograms), 2))
        return gettext("%(mass)s oz", mass=ounces) if small else gettext("%(mass)s lb", mass=weight)
    if small:
        return gettext("%(mass)s g", mass=plain_number(round(kilograms * _GRAMS, 1)))
    return gettext("%(mass)s kg", mass=plain_number(round(kilograms, 2)))


def _shown_unit(details: Mapping[str, Any], units: str) -> str:
    """The largest unit of this yard in which the stored rate is not a small fraction."""
    fitting = [
        key
        for key, unit in RATE_UNITS.items()
        if (unit.stored, unit.units) == (details["rate_unit"], units)
        and round(details["rate"] / unit.factor, 4) >= _LEAST_SHOWN.get(key, 0)
    ]
    return fitting[-1]
