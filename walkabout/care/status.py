"""What can be said of a plant today, from what was entered about it. Pure: today comes in with the facts.

The rules (judgement, but for the days to the next look, which are those of the problems table):

- A pest, disease or disorder is open from its latest entry until "looked, none seen" is entered for the same
  problem or for any. After the problem's days to the next look (14 where it is not in the books) it is told as
  not looked at since. A year after its latest entry it is told no more; the story keeps it.
- Damage is told for a year after it was last entered, the latest entry for each cause.
- A stage is told for a year as the last one seen; in the headline, and as where the plant stands now, for 120
  days, within which buds have passed through bloom.
- A plant that is not growing (wanted, ordered, dead or gone) has no leaf, no stage and nothing open.
"""

from dataclasses import dataclass
from datetime import date, timedelta

from walkabout.entries.bloom import NONE_YET
from walkabout.entries.damage import told_later
from walkabout.entries.days import day_words
from walkabout.entries.facts import KindFacts
from walkabout.entries.kinds import headline
from walkabout.entries.pest import ANY, NONE_SEEN
from walkabout.entries.texts import gettext, ngettext
from walkabout.horticulture.season import leaf_number
from walkabout.records.entries import Entry
from walkabout.records.plants import Plant
from walkabout.records.yards import Yard
from walkabout.reference.problems import problem

TOLD_DAYS = 365
STAGE_DAYS = 120
RECHECK_DAYS = 14
FOLLOWED_KINDS = ("bloom", "pest", "damage")
_TROUBLES_IN_HEADLINE = 2


@dataclass(frozen=True, slots=True)
class PlantRecord:
    """What the entries of a plant say, as far as its status needs it.

    Attributes:
        last: the entry seen last, of any kind.
        followed: for each kind of FOLLOWED_KINDS and each subject the entry seen last, of the last TOLD_DAYS days;
            latest first.
        last_harvest: the harvest seen last.
    """

    last: Entry | None = None
    followed: tuple[Entry, ...] = ()
    last_harvest: Entry | None = None


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


@dataclass(frozen=True, slots=True)
class Status:
    """What can be said of a plant today.

    Attributes:
        headline: one sentence.
        leaf: the leaf it stands in; 0 before its first season has begun; None when not known, dead or gone.
        stage: (words, seen on) of the stage seen last.
        troubles: what is open, damage first, the latest first.
        last_harvest: (words, seen on).
        stages: codes of the stages in which it still stands, one a track, the latest first.
    """

    headline: str
    leaf: int | None
    stage: tuple[str, date] | None
    troubles: tuple[Trouble, ...]
    last_harvest: tuple[str, date] | None
    stages: tuple[str, ...] = ()


def plant_status(plant: Plant, record: PlantRecord, yard: Yard, facts: KindFacts) -> Status:
    """What can be said of a plant on the day of `facts`."""
    today = facts.today
    harvest = record.last_harvest
    last_harvest = (headline("harvest", harvest.details, facts), harvest.seen_on) if harvest else None
    if plant.state != "growing":
        return Status(_not_growing(plant.state, record, today), None, None, (), last_harvest)
    troubles = (*_damage(record, facts), *_pests(record, facts))
    blooms = [entry for entry in record.followed if entry.kind == "bloom"]
    stage = (headline("bloom", blooms[0].details, facts), blooms[0].seen_on) if blooms else None
    stages = tuple(entry.details["stage"] for entry in blooms if _within(entry.seen_on, today, STAGE_DAYS))
    return Status(
        headline=_headline(record, troubles, blooms, facts),
        leaf=leaf_number(plant.planted, today, yard.latitude),
        stage=stage,
        troubles=troubles,
        last_harvest=last_harvest,
        stages=stages,
    )


def told_since(today: date) -> date:
    """The first day whose entries the status still tells of."""
    return today - timedelta(days=TOLD_DAYS)


def _within(day: date, today: date, days: int) -> bool:
    return (today - day).days <= days


def _pests(record: PlantRecord, facts: KindFacts) -> tuple[Trouble, ...]:
    pests = [entry for entry in record.followed if entry.kind == "pest"]
    cleared = max((_order(entry) for entry in pests if entry.subject == ANY), default=None)
    return tuple(
        Trouble(
            kind="pest",
            subject=entry.subject,
            words=headline("pest", entry.details, facts),
            seen_on=entry.seen_on,
            entry_id=entry.id,
            overdue=not _within(entry.seen_on, facts.today, _recheck_days(entry.subject)),
        )
        for entry in pests
        if entry.details.get("seen") != NONE_SEEN
        and (cleared is None or _order(entry) > cleared)
        and _within(entry.seen_on, facts.today, TOLD_DAYS)
    )


def _recheck_days(subject: str) -> int:
    found = problem(subject)
    return found.recheck_days if found else RECHECK_DAYS


def _damage(record: PlantRecord, facts: KindFacts) -> tuple[Trouble, ...]:
    return tuple(
        Trouble(
            kind="damage",
            subject=entry.subject,
            words=told_later(entry.details, facts, entry.seen_on),
            seen_on=entry.seen_on,
            entry_id=entry.id,
        )
        for entry in record.followed
        if entry.kind == "damage" and _within(entry.seen_on, facts.today, TOLD_DAYS)
    )


def _order(entry: Entry) -> tuple[date, int, str]:
    return entry.seen_on, entry.corrected_at, entry.id


def _headline(
    record: PlantRecord, troubles: tuple[Trouble, ...], blooms: list[Entry], facts: KindFacts
) -> str:
    if record.last is None:
        return gettext("No entries yet.")
    parts = [_told(trouble, facts.today) for trouble in troubles[:_TROUBLES_IN_HEADLINE]]
    more = len(troubles) - _TROUBLES_IN_HEADLINE
    if more > 0:
        parts.append(ngettext("%(num)s more open", "%(num)s more open", more))
    if blooms and _within(blooms[0].seen_on, facts.today, STAGE_DAYS):
        parts.append(_stage_told(blooms[0], facts))
    if not parts:
        day = day_words(record.last.seen_on, facts.today)
        parts.append(gettext("Nothing open; last entry %(day)s", day=day))
    return "; ".join(parts) + "."


def _told(trouble: Trouble, today: date) -> str:
    if trouble.kind == "damage":
        return trouble.words
    values = {"words": trouble.words, "day": day_words(trouble.seen_on, today)}
    if trouble.overdue:
        return gettext("%(words)s, seen %(day)s and not looked at since", **values)
    return gettext("%(words)s, seen %(day)s", **values)


def _stage_told(entry: Entry, facts: KindFacts) -> str:
    day = day_words(entry.seen_on, facts.today)
    if entry.details["stage"] == NONE_YET:
        return gettext("No bloom yet on %(day)s", day=day)
    return gettext("%(stage)s, seen %(day)s", stage=headline("bloom", entry.details, facts), day=day)


def _not_growing(state: str, record: PlantRecord, today: date) -> str:
    if state == "wanted":
        return gettext("Wanted; not planted yet.")
    if state == "ordered":
        return gettext("Ordered; not planted yet.")
    day = day_words(record.last.seen_on, today) if record.last else None
    if state == "dead":
        return gettext("Dead; last entry %(day)s.", day=day) if day else gettext("Dead.")
    return gettext("Gone; last entry %(day)s.", day=day) if day else gettext("Gone.")
