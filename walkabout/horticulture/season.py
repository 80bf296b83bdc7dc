"""Growing seasons of a woody plant, north and south of the equator.

The rule (common practice for the "nth leaf"; the months are judgement):

- A growing season begins on 1 March north of the equator and on 1 September south of it. At latitude 0 and
  north of it the northern months hold.
- A plant stands in its first leaf in the season in which it was planted; planted in the last five months before
  a season begins (from 1 October north, from 1 April south) it waits for that season.
- A date that is only a year is taken as in time for the season that begins in that year; one that is only a
  month as the first of that month.
"""

import re
from datetime import date

_BEGINS_MONTH = {False: 3, True: 9}  # by southern
_WAITING_MONTHS = 5
_PLANTED = re.compile(r"(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?", re.ASCII)


def southern(latitude: float) -> bool:
    """Whether a latitude [decimal degrees, north positive] lies south of the equator."""
    return latitude < 0


def season_begun(today: date, latitude: float) -> date:
    """First day of the growing season that today belongs to: the last one begun."""
    month = _BEGINS_MONTH[southern(latitude)]
    return date(today.year if today.month >= month else today.year - 1, month, 1)


def first_season(planted: str, latitude: float) -> int:
    """Year in which the first growing season of a plant begins.

    Args:
        planted: ISO date, month or year: "2021-03-14", "2021-03", "2021".
        latitude: decimal degrees, north positive.

    Raises:
        ValueError: `planted` is no such date.
    """
    parts = _PLANTED.fullmatch(planted)
    if parts is None:
        raise ValueError(f"{planted!r} is no date, month or year")
    year, month, day = (int(part) if part else None for part in parts.groups())
    if year is None or month is None:
        return int(planted)
    date(year, month, day or 1)
    begins = _BEGINS_MONTH[southern(latitude)]
    months_since = (month - begins) % 12  # since the last season began
    last_begun = year if month >= begins else year - 1
    return last_begun + 1 if months_since >= 12 - _WAITING_MONTHS else last_begun


def leaf_number(planted: str | None, today: date, latitude: float) -> int | None:
    """The leaf that a plant stands in: growing seasons begun since planting, not anniversaries.

    Args:
        planted: ISO date, month or year, or None when not known.
        today: civil date of the yard.
        latitude: decimal degrees, north positive.

    Returns:
        1 in the first leaf; 0 while the first season has not begun; None when the planting is not known.

    Raises:
        ValueError: `planted` is no date.
    """
    if planted is None:
        return None
    return max(0, season_begun(today, latitude).year - first_season(planted, latitude) + 1)
