"""Which plants need a look: a rule over all plants at once, for the list of the yard.

A growing plant needs a look (judgement)

- while a problem is open: a pest, disease or disorder as care/status.py has it;
- while work on it is due;
- when nothing was noted about it for UNSEEN_DAYS days, be it that nothing was found.

Damage alone is no reason: it is told for a year and asks for no further look.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from walkabout.care.status import told_since
from walkabout.entries.pest import ANY, NONE_SEEN
from walkabout.records import looks
from walkabout.records.looks import Look, Problem

UNSEEN_DAYS = 60


@dataclass(frozen=True, slots=True)
class Reasons:
    """Why a plant needs a look.

    Attributes:
        problems: how many problems are open.
        due: whether work is due.
        unseen_days: for how many days nothing was noted; None when that is no reason.
    """

    problems: int
    due: bool
    unseen_days: int | None


def need_a_look(today: date) -> dict[str, Reasons]:
    """The plants that need a look on that day, with the reasons; one query however many there are."""
    judged = (
        (plant_id, reasons(look, today)) for plant_id, look in looks.looks(told_since(today), today).items()
    )
    return {plant_id: found for plant_id, found in judged if found is not None}


def reasons(look: Look, today: date) -> Reasons | None:
    """Why a plant of which this is known needs a look; None when it does not."""
    days = (today - date.fromisoformat(look.since)).days
    found = Reasons(len(open_problems(look.problems)), look.due, days if days >= UNSEEN_DAYS else None)
    return found if found.problems or found.due or found.unseen_days is not None else None


def open_problems(told: Iterable[Problem]) -> set[str]:
    """Those problems that were seen after they, or all, were looked for and not found."""
    latest: dict[str, Problem] = {}
    for one in sorted(told):  # of merged plants there may be two about one problem
        latest[one.subject] = one
    cleared = latest.get(ANY)
    return {
        subject
        for subject, one in latest.items()
        if one.seen != NONE_SEEN and (cleared is None or one[:3] > cleared[:3])
    }
