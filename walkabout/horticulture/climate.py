"""Sorting a yard by its frost, for tables that know only "warm" and "cold" yards."""

from datetime import date

WARM_FROST_FREE_DAYS = 240
WARM_LATITUDE = 33.0
_ANY_YEAR = 2001  # not a leap year; only the days between two dates count


def frost_free_days(last_frost: tuple[int, int], first_frost: tuple[int, int]) -> int:
    """Days from the usual last frost of spring to the usual first frost of autumn, over the turn of the year if need be.

    Args:
        last_frost, first_frost: (month, day). 29 February counts as 28 February.
    """
    return (_day(first_frost) - _day(last_frost)).days % 365


def little_frost(
    latitude: float,
    last_frost: tuple[int, int] | None,
    first_frost: tuple[int, int] | None,
    *,
    frost_free: bool,
) -> bool:
    """Whether a yard counts as warm: frost-free, or 240 frost-free days or more, or, frost dates not known, within 33 degrees of the equator.

    Both limits are judgement: the warm lists were made for USDA zones 8b to 10, whose yards mostly have more.

    Args:
        latitude: decimal degrees, north positive.
        last_frost, first_frost: (month, day), or None when not known.
        frost_free: the grower said that the yard has no frost.
    """
    if frost_free:
        return True
    if last_frost is None or first_frost is None:
        return abs(latitude) <= WARM_LATITUDE
    return frost_free_days(last_frost, first_frost) >= WARM_FROST_FREE_DAYS


def _day(month_day: tuple[int, int]) -> date:
    month, day = month_day
    return date(_ANY_YEAR, month, min(day, 28) if month == 2 else day)
