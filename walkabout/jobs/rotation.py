"""Which of many copies to keep: of each recent day, week and month the last one."""

from collections.abc import Callable, Collection
from datetime import datetime
from typing import Any

DAYS, WEEKS, MONTHS = 7, 4, 12


def kept_of(moments: Collection[datetime]) -> set[datetime]:
    """Those of the moments whose copies are kept.

    The last of each of the 7 newest days, 4 newest weeks and 12 newest months that have any. Counted are days that
    have a copy, not days gone by, so a machine that was off for a year keeps what it had. The newest always stays.

    Args:
        moments: when the copies were made, all in one time zone.
    """
    rules: tuple[tuple[int, Callable[[datetime], Any]], ...] = (
        (DAYS, lambda moment: moment.date()),
        (WEEKS, lambda moment: moment.isocalendar()[:2]),
        (MONTHS, lambda moment: (moment.year, moment.month)),
    )
    kept: set[datetime] = set()
    for most, period in rules:
        last_of = {period(moment): moment for moment in sorted(moments)}
        kept.update(sorted(last_of.values())[-most:])
    return kept
