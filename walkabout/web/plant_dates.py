"""Days of a plant's life as people write them: a day, a month or a year, exact or about."""

import re
from datetime import date

from flask_babel import lazy_gettext as _
from wtforms import ValidationError

_EARLIEST_YEAR = 1800
_WRITTEN = re.compile(r"(about\s+)?(\d{4})(?:-(\d{1,2})(?:-(\d{1,2}))?)?", re.IGNORECASE)


def tidy(text: str | None) -> str:
    """Text with single spaces and none at its ends."""
    return " ".join((text or "").split())


def read_about(text: str, today: date) -> tuple[str | None, bool]:
    """A day as written: (ISO date, month or year; None when empty, whether about).

    Raises:
        ValidationError: it is no date, or lies ahead.
    """
    if not text:
        return None, False
    found = _WRITTEN.fullmatch(text)
    if found is None:
        raise ValidationError(
            _("Write a date as 2021-03-14, a month as 2021-03, a year as 2021, or about 2021.")
        )
    parts = [int(part) for part in found.groups()[1:] if part]
    try:
        day = date(*parts, *[1] * (3 - len(parts)))
    except ValueError as error:
        raise ValidationError(_("There is no such day. Write it as 2021-03-14.")) from error
    if day > today:
        raise ValidationError(_("This day is still to come. Look at the year again."))
    if day.year < _EARLIEST_YEAR:
        raise ValidationError(_("This is before 1800. Look at the year again."))
    return day.isoformat()[: (4, 7, 10)[len(parts) - 1]], bool(found[1])


def read_exact(text: str, today: date) -> str | None:
    """The same where about is not recorded.

    Raises:
        ValidationError: it is no date, lies ahead, or is about.
    """
    day, about = read_about(text, today)
    if about:
        raise ValidationError(_("Write it without about: a date, a month or a year."))
    return day
