"""What can be said of a plant today, from what was entered about it. Pure: today comes in with the facts.

The rules (judgement; what is open is in care/troubles.py):

- A stage, of bloom or of growth, is told for a year as the last one seen; in the headline, and as where the plant
  stands now, for 120 days, within which buds have passed through bloom.
- Regrowth is told for a year, the latest, unless damage was entered as over since.
- A crop that was lost is told for 120 days in the headline, for a year beside it.
- Fruit is not to be picked before the last of the waiting days of all sprays has passed; nobody is to go near before
  the hours of the latest spray have. The label governs both.
- The last watering, feeding, spraying and pruning are told for a year.
- A plant that is not growing (wanted, ordered, dead or gone) has no leaf, no stage and nothing open.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil

from walkabout.care.troubles import TOLD_DAYS, Trouble, troubles, within
from walkabout.entries.bloom import NONE_YET
from walkabout.entries.damage import is_open
from walkabout.entries.days import day_words
from walkabout.entries.done import no_pick_before
from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import plain_number
from walkabout.entries.kinds import headline, subject
from walkabout.entries.texts import gettext, ngettext
from walkabout.entries.work_words import told as work_told
from walkabout.horticulture.season import leaf_number
from walkabout.records.entries import Entry
from walkabout.records.plants import Plant
from walkabout.records.yards import Yard

STAGE_DAYS = 120
FOLLOWED_KINDS = ("bloom", "growth", "pest", "damage")
FOLLOWED_WORKS = ("watered", "fed", "sprayed", "pruned")
_REGROWTH = "regrowth"  # the subject of a growth entry
_TROUBLES_IN_HEADLINE = 2
_HOURS = 24


@dataclass(frozen=True, slots=True)
class PlantRecord:
    """What the entries of a plant say, as far as its status needs it.

    Attributes:
        last: the entry seen last, of any kind.
        followed: for each kind of FOLLOWED_KINDS and each subject the entry seen last, of the last TOLD_DAYS days;
            latest first.
        last_harvest: the harvest seen last in which something was picked.
        last_lost: the harvest seen last of which something was lost.
        works: for each of FOLLOWED_WORKS the entry of the last TOLD_DAYS days that tells of it.
        waiting: the spray of which the days before harvest end last.
    """

    last: Entry | None = None
    followed: tuple[Entry, ...] = ()
    last_harvest: Entry | None = None
    last_lost: Entry | None = None
    works: Mapping[str, Entry] = field(default_factory=dict)
    waiting: Entry | None = None


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
        cautions: sentences about what may harm people: fruit not to be picked yet, a plant not to be touched yet.
        regrowth: (words, seen on) of where it grows anew after damage.
        lost: (words, seen on) of the crop that was lost.
        works: (words, done on) of the work done last, the latest first.
    """

    headline: str
    leaf: int | None
    stage: tuple[str, date] | None
    troubles: tuple[Trouble, ...]
    last_harvest: tuple[str, date] | None
    stages: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    regrowth: tuple[str, date] | None = None
    lost: tuple[str, date] | None = None
    works: tuple[tuple[str, date], ...] = ()


def plant_status(plant: Plant, record: PlantRecord, yard: Yard, facts: KindFacts) -> Status:
    """What can be said of a plant on the day of `facts`."""
    today = facts.today
    last_harvest = _told(record.last_harvest, facts)
    cautions = _cautions(record, facts)
    if plant.state != "growing":
        sentence = _not_growing(plant.state, record, today)
        return Status(sentence, None, None, (), last_harvest, cautions=cautions)
    found = troubles(record.followed, facts)
    stages = [one for one in record.followed if one.kind in ("bloom", "growth") and one.subject != _REGROWTH]
    regrowth = _regrowth(record, today)
    return Status(
        headline=_headline(record, found, stages, regrowth, facts),
        leaf=leaf_number(plant.planted, today, yard.latitude),
        stage=_told(stages[0], facts) if stages else None,
        troubles=found,
        last_harvest=last_harvest,
        stages=_standing_stages(stages, today),
        cautions=cautions,
        regrowth=_told(regrowth, facts),
        lost=_told(_lost(record, today, TOLD_DAYS), facts),
        works=_works(record, facts),
    )


def recent_damage(status: Status, today: date) -> tuple[str, ...]:
    """Causes of the open damage that was noted within the last STAGE_DAYS days, the latest first."""
    return tuple(
        trouble.subject
        for trouble in status.troubles
        if trouble.kind == "damage" and within(trouble.seen_on, today, STAGE_DAYS)
    )


def told_since(today: date) -> date:
    """The first day whose entries the status still tells of."""
    return today - timedelta(days=TOLD_DAYS)


def _told(entry: Entry | None, facts: KindFacts) -> tuple[str, date] | None:
    return (headline(entry.kind, entry.details, facts), entry.seen_on) if entry else None


def _standing_stages(entries: list[Entry], today: date) -> tuple[str, ...]:
    """Stage codes of the books, and "none" for no bloom yet; one a track, as a stage of a track can be noted both as
    bloom and as growth."""
    found: dict[str, str] = {}
    for entry in entries:
        stage = str(entry.details["stage"])
        if within(entry.seen_on, today, STAGE_DAYS) and ("/" in stage or entry.kind == "bloom"):
            found.setdefault(subject("bloom", entry.details), stage)
    return tuple(found.values())


def _regrowth(record: PlantRecord, today: date) -> Entry | None:
    latest = next((one for one in record.followed if one.kind == "growth" and one.subject == _REGROWTH), None)
    if latest is None or not within(latest.seen_on, today, TOLD_DAYS):
        return None
    over = [one for one in record.followed if one.kind == "damage" and not is_open(one.details)]
    return None if any(one.seen_on >= latest.seen_on and "cause" in one.details for one in over) else latest


def _lost(record: PlantRecord, today: date, days: int) -> Entry | None:
    lost = record.last_lost
    return lost if lost and within(lost.seen_on, today, days) else None


def _works(record: PlantRecord, facts: KindFacts) -> tuple[tuple[str, date], ...]:
    done = sorted(record.works.items(), key=lambda one: one[1].seen_on, reverse=True)
    return tuple((work_told(work, entry.details, facts.units), entry.seen_on) for work, entry in done)


def _cautions(record: PlantRecord, facts: KindFacts) -> tuple[str, ...]:
    today, found = facts.today, []
    spray = record.works.get("sprayed")
    hours = spray.details.get("hours_before_reentry") if spray else None
    # The hour of the spray is not known, so its day is taken to have ended with it.
    if spray and hours and today <= spray.seen_on + timedelta(days=ceil(hours / _HOURS)):
        values = {"day": day_words(spray.seen_on, today), "hours": plain_number(hours)}
        found.append(gettext("Sprayed %(day)s: stay out for %(hours)s h. The label governs.", **values))
    waiting = record.waiting
    free = no_pick_before(waiting.details, waiting.seen_on) if waiting else None
    if waiting and free and free > today:
        values = {"free": day_words(free, today), "day": day_words(waiting.seen_on, today)}
        found.append(gettext("Do not pick before %(free)s: sprayed %(day)s. The label governs.", **values))
    return tuple(found)


def _headline(
    record: PlantRecord,
    found: tuple[Trouble, ...],
    stages: list[Entry],
    regrowth: Entry | None,
    facts: KindFacts,
) -> str:
    if record.last is None:
        return gettext("No entries yet.")
    parts = [_trouble_told(trouble, facts.today) for trouble in found[:_TROUBLES_IN_HEADLINE]]
    more = len(found) - _TROUBLES_IN_HEADLINE
    if more > 0:
        parts.append(ngettext("%(num)s more open", "%(num)s more open", more))
    lost = _lost(record, facts.today, STAGE_DAYS)
    parts += [_seen(entry, facts) for entry in (regrowth, lost) if entry]
    if stages and within(stages[0].seen_on, facts.today, STAGE_DAYS):
        parts.append(_stage_told(stages[0], facts))
    if not parts:
        day = day_words(record.last.seen_on, facts.today)
        parts.append(gettext("Nothing open; last entry %(day)s", day=day))
    return "; ".join(parts) + "."


def _trouble_told(trouble: Trouble, today: date) -> str:
    if trouble.kind == "damage":
        return trouble.words
    values = {"words": trouble.words, "day": day_words(trouble.seen_on, today)}
    if trouble.overdue:
        return gettext("%(words)s, seen %(day)s and not looked at since", **values)
    return gettext("%(words)s, seen %(day)s", **values)


def _seen(entry: Entry, facts: KindFacts) -> str:
    words = headline(entry.kind, entry.details, facts)
    return gettext("%(words)s, seen %(day)s", words=words, day=day_words(entry.seen_on, facts.today))


def _stage_told(entry: Entry, facts: KindFacts) -> str:
    day = day_words(entry.seen_on, facts.today)
    if entry.details["stage"] == NONE_YET:
        if entry.kind == "growth":
            return gettext("Not awake yet on %(day)s", day=day)
        return gettext("No bloom yet on %(day)s", day=day)
    return _seen(entry, facts)


def _not_growing(state: str, record: PlantRecord, today: date) -> str:
    if state == "wanted":
        return gettext("Wanted; not planted yet.")
    if state == "ordered":
        return gettext("Ordered; not planted yet.")
    day = day_words(record.last.seen_on, today) if record.last else None
    if state == "dead":
        return gettext("Dead; last entry %(day)s.", day=day) if day else gettext("Dead.")
    return gettext("Gone; last entry %(day)s.", day=day) if day else gettext("Gone.")
