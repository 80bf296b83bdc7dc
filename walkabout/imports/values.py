"""What a cell says: a number, a date, yes or no. Nothing is guessed that the file does not prove."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from walkabout.errors import BadInput

EARLIEST = date(1800, 1, 1)

_ABOUT = re.compile(r"^(?:about|approx\.?|approximately|around|circa|ca\.?|c\.|~)\s*", re.IGNORECASE)
_ISO = re.compile(r"^(\d{4})-(\d{1,2})-(\d{1,2})$")
_PARTED = re.compile(r"^(\d{1,2})([/.-])(\d{1,2})\2(\d{4})$")
_SHORT_YEAR = re.compile(r"^\d{1,2}([/.-])\d{1,2}\1\d{2}$")
_YEAR_AND_MONTH = re.compile(r"^(?P<year>\d{4})-(?P<month>\d{1,2})$")
_MONTH_AND_YEAR = re.compile(r"^(?P<month>\d{1,2})[/.-](?P<year>\d{4})$")
_NUMBER = re.compile(r"^[+-]?\d{1,9}(?:\.\d{1,12})?$")
_YES = {"yes", "y", "true", "1", "x", "pot", "container", "potted", "tub"}
_NO = {"", "no", "n", "false", "0", "-", "ground", "in ground", "in the ground"}


def number(text: str, *, decimal_comma: bool = False) -> Decimal:
    """The number a cell holds, exactly as written.

    Args:
        text: digits with a point; also with a comma if `decimal_comma`.
        decimal_comma: the file does not separate its cells by commas, so a comma is a decimal sign.

    Raises:
        BadInput: it is not a plain number.
    """
    plain = text.replace(",", ".") if decimal_comma and text.count(",") == 1 and "." not in text else text
    if not plain.isascii() or not _NUMBER.match(plain):
        raise BadInput(f'"{text}" is not a plain number; write it as 12 or 12.5, without a unit')
    return Decimal(plain)


def yes_or_no(text: str) -> bool:
    """Whether a cell says yes.

    Raises:
        BadInput: it says neither yes nor no.
    """
    word = text.casefold()
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise BadInput(f'"{text}" is neither yes nor no; write yes or no')


@dataclass(frozen=True, slots=True)
class DateOrder:
    """How the dates of a column are written.

    Attributes:
        day_first: 14/3 (True), 3/14 (False), or None where no date of the column tells or needs it.
    """

    day_first: bool | None

    def read(self, text: str) -> date:
        """The civil date a cell holds.

        Raises:
            BadInput: it is not a date, or not one of the calendar, or before 1800.
        """
        if _SHORT_YEAR.match(text):
            raise BadInput(f'"{text}" has a year of two digits; write the year with four')
        if match := _ISO.match(text):
            year, month, day = (int(part) for part in match.groups())
        elif match := _PARTED.match(text):
            first, second, year = int(match[1]), int(match[3]), int(match[4])
            day, month = (second, first) if self.day_first is False else (first, second)
        else:
            raise BadInput(f'"{text}" is not a date; write it as 2024-03-14')
        try:
            found = date(year, month, day)
        except ValueError as error:
            raise BadInput(f'"{text}" is not a day of the calendar; write it as 2024-03-14') from error
        if found < EARLIEST:
            raise BadInput(f'"{text}" lies before {EARLIEST.year}; check the year')
        return found


def date_order(texts: Iterable[str], column: str, given: str | None) -> DateOrder:
    """How the dates of one column are written: as given, else as the column itself proves.

    Args:
        texts: the cells of the column.
        column: its name, for the message.
        given: "dmy", "mdy" or None.

    Raises:
        BadInput: the column holds dates both ways round, or none that tells.
    """
    pairs = [
        (int(match[1]), int(match[3]), text)
        for text in texts
        if (match := _PARTED.match(_ABOUT.sub("", text))) and match[1].zfill(2) != match[3].zfill(2)
    ]
    if given is not None:
        return DateOrder(given == "dmy")
    day_first = [text for first, _, text in pairs if first > 12]
    month_first = [text for _, second, text in pairs if second > 12]
    if day_first and month_first:
        raise BadInput(
            f'The column "{column}" has dates both ways round: {day_first[0]} and {month_first[0]}. '
            "Write them all alike, best as 2024-03-14."
        )
    if pairs and not day_first and not month_first:
        raise BadInput(
            f'The dates of the column "{column}", such as {pairs[0][2]}, can be read in two ways. '
            "Add --dates dmy (day first) or --dates mdy (month first)."
        )
    return DateOrder(bool(day_first) if pairs else None)


def planted(text: str, order: DateOrder, today: date, what: str = "planted") -> tuple[str | None, bool]:
    """When a plant was planted (or ended), as ISO text of a year, a month or a day, and whether only about then.

    Raises:
        BadInput: it is no date, or lies after today.
    """
    about = bool(_ABOUT.match(text))
    plain = _ABOUT.sub("", text)
    if not plain:
        return None, False
    if re.fullmatch(r"\d{4}", plain):
        iso, first_day = plain, _calendar(plain, int(plain), 1)
    elif match := _YEAR_AND_MONTH.match(plain) or _MONTH_AND_YEAR.match(plain):
        first_day = _calendar(plain, int(match["year"]), int(match["month"]))
        iso = first_day.isoformat()[:7]
    else:
        first_day = order.read(plain)
        iso = first_day.isoformat()
    if first_day > today:
        raise BadInput(f'{what} "{text}" lies in the future; check the year')
    return iso, about


def _calendar(text: str, year: int, month: int) -> date:
    try:
        first_day = date(year, month, 1)
    except ValueError as error:
        raise BadInput(f'"{text}" is not a year or a month; write 2021, 2021-03 or 2021-03-14') from error
    if first_day < EARLIEST:
        raise BadInput(f'"{text}" lies before {EARLIEST.year}; check the year')
    return first_day
