"""What a person may answer when the facts of a yard are asked for, each checked with what to do instead."""

import re
from datetime import date
from difflib import get_close_matches
from zoneinfo import available_timezones

from walkabout.errors import BadInput
from walkabout.records.yards import FrostDate

LONGEST_TEXT = 120
_NOT_KNOWN = {"", "unknown", "not known", "?"}


def short_text(text: str) -> str:
    """A name: one line, not empty.

    Raises:
        BadInput: it is empty or too long.
    """
    plain = " ".join(text.split())
    if not plain or len(plain) > LONGEST_TEXT or not plain.isprintable():
        raise BadInput(f"A name has 1 to {LONGEST_TEXT} characters that can be shown. Write another.")
    return plain


def latitude(text: str) -> float:
    """Degrees from -90 to 90.

    Raises:
        BadInput: it is no such number.
    """
    return _degrees(text, 90, "latitude", "south")


def longitude(text: str) -> float:
    """Degrees from -180 to 180.

    Raises:
        BadInput: it is no such number.
    """
    return _degrees(text, 180, "longitude", "west")


def timezone(text: str) -> str:
    """The IANA name of a time zone.

    Raises:
        BadInput: there is no such zone; the nearest names are said.
    """
    plain = text.strip()
    zones = available_timezones()
    if plain in zones:
        return plain
    near = get_close_matches(plain.replace(" ", "_"), zones, n=3, cutoff=0.5)
    hint = f" Did you mean {' or '.join(near)}?" if near else " Write one such as America/Chicago."
    raise BadInput(f'There is no time zone "{plain}".{hint}')


def units(text: str) -> str:
    """ "us" or "metric".

    Raises:
        BadInput: it is neither.
    """
    plain = text.strip().casefold()
    if plain not in ("us", "metric"):
        raise BadInput(
            f'Units are us (pounds, feet) or metric (kilograms, metres), not "{text}". Write one of them.'
        )
    return plain


def frost(text: str) -> FrostDate | None:
    """A usual frost date, to the day or about; None when it is not known.

    Raises:
        BadInput: it is no day of the year.
    """
    plain = " ".join(text.casefold().split())
    if plain in _NOT_KNOWN:
        return None
    match = re.fullmatch(r"(about )?(\d{1,2})-(\d{1,2})", plain)
    try:
        if match:
            day = date(2000, int(match[2]), int(match[3]))
            return FrostDate(day.month, day.day, about=bool(match[1]))
    except ValueError:
        pass
    raise BadInput(f'"{text}" is not a frost date. Write month and day as 03-14, "about 03-14", or unknown.')


def must_be_in_order(last: FrostDate | None, first: FrostDate | None, degrees_north: float) -> None:
    """Raises BadInput when the last frost of spring and the first of autumn were clearly taken for each other."""
    if last is None or first is None:
        return
    turn = 0 if degrees_north >= 0 else 6  # the southern year begins in July
    last_month, first_month = ((frost_date.month - 1 + turn) % 12 + 1 for frost_date in (last, first))
    if last_month >= 8 and 2 <= first_month <= 6:
        raise BadInput(
            f"The last frost of spring ({last}) and the first of autumn ({first}) look exchanged. Change them over."
        )


def _degrees(text: str, most: int, what: str, negative: str) -> float:
    plain = text.strip()
    if not re.fullmatch(r"[+-]?\d{1,3}(\.\d{1,12})?", plain) or abs(float(plain)) > most:
        raise BadInput(
            f'"{text}" is not a {what}. Write decimal degrees from -{most} to {most}, {negative} negative, such as 30.25.'
        )
    return float(plain)
