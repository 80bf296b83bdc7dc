"""What is open on a plant: damage, pests, diseases, disorders. Pure.

The rules (judgement, but for the days to the next look, which are those of the problems table):

- A pest, disease or disorder is open from its latest entry until "looked, none seen" is entered for the same
  problem or for any. After the problem's days to the next look (14 where it is not in the books) it is told as
  not looked at since.
- Damage is open until it is entered as over, or as looked for and not found; the latest entry for each cause counts.
  "Looked, no damage" of no cause closes nothing: old dieback stays.
- What was open is told no more a year after its latest entry; the story keeps it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from walkabout.entries.damage import is_open, told_later
from walkabout.entries.facts import KindFacts
from walkabout.entries.kinds import headline
from walkabout.entries.pest import ANY, NONE_SEEN
from walkabout.records.entries import Entry
from walkabout.reference.problems import problem

TOLD_DAYS = 365
RECHECK_DAYS = 14


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something open on the plant.

    Attributes:
        kind: "pest" or "damage".
        subject: problem or cause, as entries have it.
        words: what was noted.
        seen_on: when it was last noted.
        entry_id: the entry that says so.
        overdue: True when the day of the next look has passed; then it is told as not looked at since.
    """

    kind: str
    subject: str
    words: str
    seen_on: date
    entry_id: str
    overdue: bool = False


def troubles(followed: Sequence[Entry], facts: KindFacts) -> tuple[Trouble, ...]:
    """What is open, damage first, the latest first.

    Args:
        followed: for each kind and subject the entry seen last, the latest first.
        facts: of the plant, with today.
    """
    return (*_damage(followed, facts), *_pests(followed, facts))


def within(day: date, today: date, days: int) -> bool:
    """Whether a day lies no more than so many days back."""
    return today - day <= timedelta(days=days)


def _pests(followed: Sequence[Entry], facts: KindFacts) -> tuple[Trouble, ...]:
    pests = [entry for entry in followed if entry.kind == "pest"]
    cleared = max((_order(entry) for entry in pests if entry.subject == ANY), default=None)
    return tuple(
        Trouble(
            kind="pest",
            subject=entry.subject,
            words=headline("pest", entry.details, facts),
            seen_on=entry.seen_on,
            entry_id=entry.id,
            overdue=not within(entry.seen_on, facts.today, _recheck_days(entry.subject)),
        )
        for entry in pests
        if entry.details.get("seen") != NONE_SEEN
        and (cleared is None or _order(entry) > cleared)
        and within(entry.seen_on, facts.today, TOLD_DAYS)
    )


def _recheck_days(subject: str) -> int:
    found = problem(subject)
    return found.recheck_days if found else RECHECK_DAYS


def _damage(followed: Sequence[Entry], facts: KindFacts) -> tuple[Trouble, ...]:
    return tuple(
        Trouble(
            kind="damage",
            subject=entry.subject,
            words=told_later(entry.details, facts, entry.seen_on),
            seen_on=entry.seen_on,
            entry_id=entry.id,
        )
        for entry in followed
        if entry.kind == "damage" and is_open(entry.details) and within(entry.seen_on, facts.today, TOLD_DAYS)
    )


def _order(entry: Entry) -> tuple[date, int, str]:
    return entry.seen_on, entry.corrected_at, entry.id
