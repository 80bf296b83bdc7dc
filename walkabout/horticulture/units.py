"""Conversions between what a grower writes in the United States and the SI units that are stored.

Source of every factor: NIST Special Publication 811 (2008), appendix B.8; the pound and the inch are exact by
the international yard and pound agreement of 1959, the US gallon is exactly 231 cubic inches. The ounce is a
sixteenth of a pound; a gallon is 128 fluid ounces, 256 tablespoons, 768 teaspoons (NIST Handbook 44, appendix C).
"""

KILOGRAMS_PER_POUND = 0.45359237
CENTIMETRES_PER_INCH = 2.54
METRES_PER_FOOT = 0.3048
LITRES_PER_GALLON = 3.785411784
GRAMS_PER_OUNCE = 28.349523125
FLUID_OUNCES_PER_GALLON = 128
TABLESPOONS_PER_GALLON = 256
TEASPOONS_PER_GALLON = 768


def kilograms(pounds: float) -> float:
    """Mass in kg of a mass in avoirdupois pounds [lb]."""
    return pounds * KILOGRAMS_PER_POUND


def pounds(kilograms: float) -> float:
    """Mass in avoirdupois pounds [lb] of a mass in kg."""
    return kilograms / KILOGRAMS_PER_POUND


def centimetres(inches: float) -> float:
    """Length in cm of a length in inches [in]."""
    return inches * CENTIMETRES_PER_INCH


def inches(centimetres: float) -> float:
    """Length in inches [in] of a length in cm."""
    return centimetres / CENTIMETRES_PER_INCH


def metres(feet: float) -> float:
    """Length in m of a length in feet [ft]."""
    return feet * METRES_PER_FOOT


def feet(metres: float) -> float:
    """Length in feet [ft] of a length in m."""
    return metres / METRES_PER_FOOT


def litres(gallons: float) -> float:
    """Volume in litres [L] of a volume in US liquid gallons [gal]."""
    return gallons * LITRES_PER_GALLON


def gallons(litres: float) -> float:
    """Volume in US liquid gallons [gal] of a volume in litres [L]."""
    return litres / LITRES_PER_GALLON
