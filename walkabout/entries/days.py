"""Days in words, for lines that are made in Python."""

from datetime import date

from walkabout.entries.texts import gettext
from walkabout.entries.texts import lazy_gettext as _

_MONTHS = (
    _("Jan"), _("Feb"), _("Mar"), _("Apr"), _("May"), _("Jun"),
    _("Jul"), _("Aug"), _("Sep"), _("Oct"), _("Nov"), _("Dec"),
)  # fmt: skip


_NEAR_DAYS = 300


def day_words(day: date, today: date | None = None) -> str:
    """Such as "14 Jan 2026"; without the year when the day lies within 300 days of `today`."""
    month = str(_MONTHS[day.month - 1])
    if today is not None and abs((today - day).days) <= _NEAR_DAYS:
        return gettext("%(day)s %(month)s", day=day.day, month=month)
    return gettext("%(day)s %(month)s %(year)s", day=day.day, month=month, year=day.year)
