"""Everything that the page of a plant shows, loaded in a handful of queries whatever the number of entries."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import NamedTuple

from walkabout.care.status import (
    FOLLOWED_KINDS,
    FOLLOWED_WORKS,
    PlantRecord,
    Status,
    plant_status,
    recent_damage,
    told_since,
)
from walkabout.care.story import StoryLine, story_lines
from walkabout.care.troubles import within
from walkabout.entries.facts import KindFacts, grafted
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Kind
from walkabout.entries.kinds import KINDS
from walkabout.entries.likely import Choice, Chosen, choices_without_growth, likely_choices
from walkabout.horticulture.climate import little_frost
from walkabout.horticulture.season import southern
from walkabout.records import kin, recent, stories, tasks
from walkabout.records.entries import Entry
from walkabout.records.kin import Kin
from walkabout.records.limbs import Limb, limbs_of
from walkabout.records.plants import Plant
from walkabout.records.stories import Place
from walkabout.records.tasks import Task
from walkabout.records.yards import FrostDate, Yard
from walkabout.reference.likely import flush_days
from walkabout.reference.problems import problem

STORY_LINES = 20
CHOSEN_DAYS = 7  # what a person entered longer ago says nothing of what comes next
_CHOSEN_LOOKED_AT = 12
_PICKED = recent.Answered("harvest", ("weight_kg", "count", "rough"))
_LOST = recent.Answered("harvest", ("lost", "lost_share"))
_WAITING = recent.Lasting("done", "days_before_harvest")


class KindForm(NamedTuple):
    """A kind of entry with its form for this plant, as nobody has touched it yet."""

    kind: Kind
    form: EntryForm


@dataclass(frozen=True, slots=True)
class PlantView:
    """What the page of a plant shows.

    Attributes:
        facts: the plant as the kinds of entry see it; for drawing and checking further forms.
        due: open tasks that can be done today, the one that closes first in front.
        later: open tasks that open after today.
        story: the latest lines, newest first; `more` when there are older ones, read on from `next_place`.
        likely: six first choices.
        kinds: every kind that a person can choose.
        kin: the other plants that have to do with it; what was noted of those merged into it is told as its own.
        limbs: growing ones first.
    """

    plant: Plant
    yard: Yard
    facts: KindFacts
    status: Status
    due: tuple[Task, ...]
    later: tuple[Task, ...]
    story: tuple[StoryLine, ...]
    more: bool
    next_place: Place | None
    likely: tuple[Choice, ...]
    kinds: tuple[KindForm, ...]
    kin: Kin
    limbs: tuple[Limb, ...]


def facts(plant: Plant, yard: Yard, today: date) -> KindFacts:
    """What the kinds of entry must know of a plant and its yard, without its entries."""
    return replace(yard_facts(yard, today), crop=plant.crop, grafted=grafted(plant.raised))


def yard_facts(yard: Yard, today: date) -> KindFacts:
    """What the kinds of entry must know of a yard, whatever the plant."""
    return KindFacts(
        crop="",
        grafted=None,
        units=yard.units,
        today=today,
        warm=little_frost(
            yard.latitude,
            _month_day(yard.last_frost),
            _month_day(yard.first_frost),
            frost_free=yard.frost_free,
        ),
        southern=southern(yard.latitude),
    )


def load(
    plant: Plant,
    yard: Yard,
    today: date,
    *,
    limit: int = STORY_LINES,
    before: Place | None = None,
    person_id: str | None = None,
) -> PlantView:
    """Everything that the page of a plant shows.

    Args:
        plant: the plant.
        yard: the yard.
        today: civil date in the yard.
        limit: how many lines of the story.
        before: tell the story on from this place; the status is that of today all the same.
        person_id: for whom; what this person entered last is offered among the first choices.
    """
    family = kin.kin(plant.id)
    merged = family.merged_ids
    told = stories.story(plant.id, limit + 1, before, merged=merged)
    newest = told if before is None else stories.story(plant.id, 1, merged=merged)
    record = _record(plant, newest[0].entry if newest else None, today, merged)
    limbs = limbs_of(plant.id, merged)
    bare = replace(
        facts(plant, yard, today),
        limbs=tuple((limb.id, limb.name) for limb in limbs if limb.state == "growing"),
        ended_limbs=tuple((limb.id, limb.name) for limb in limbs if limb.state != "growing"),
    )
    status = plant_status(plant, record, yard, bare)
    open_tasks = tasks.open_tasks(plant.id, merged)
    due = tuple(task for task in open_tasks if task.opens <= today)
    known = replace(
        bare,
        stages=status.stages,
        open_problems=tuple(
            trouble.subject
            for trouble in status.troubles
            if trouble.kind == "pest" and problem(trouble.subject) is not None
        ),
        tasks=tuple((task.id, task.title) for task in due),
    )
    shown = told[:limit]
    kinds = tuple(KindForm(kind, kind.draw(known)) for kind in KINDS.values() if kind.on_plants)
    return PlantView(
        plant=plant,
        yard=yard,
        facts=known,
        status=status,
        due=due,
        later=tuple(task for task in open_tasks if task.opens > today),
        story=story_lines(shown, {one.kind.key: one.form for one in kinds}, known),
        more=len(told) > limit,
        next_place=stories.place_of(shown[-1]) if shown and len(told) > limit else None,
        likely=likely_choices(
            known, _chosen(person_id, today), recent_damage(status, today), _flush(record, today)
        )
        if plant.state == "growing"
        else choices_without_growth(plant.state),
        kinds=kinds,
        kin=family,
        limbs=tuple(limbs),
    )


def _record(plant: Plant, last: Entry | None, today: date, merged: tuple[str, ...]) -> PlantRecord:
    """What the status needs of the entries, in two queries."""
    since = told_since(today)
    followed = stories.latest_by_subject(plant.id, FOLLOWED_KINDS, since, merged=merged)
    found = recent.recent(
        plant.id, since, works=FOLLOWED_WORKS, answered=(_PICKED, _LOST), lasting=_WAITING, merged=merged
    )
    picked, lost = found.answered
    return PlantRecord(last, tuple(followed), picked, lost, found.works, found.lasting)


def _chosen(person_id: str | None, today: date) -> list[Chosen]:
    if person_id is None:
        return []
    entries = recent.chosen_by(person_id, today - timedelta(days=CHOSEN_DAYS), _CHOSEN_LOOKED_AT)
    return [Chosen(entry.kind, entry.details) for entry in entries]


def _flush(record: PlantRecord, today: date) -> str:
    """The stage of growth seen within the days for which a soft flush counts; "" when there is none."""
    grown = (entry for entry in record.followed if entry.kind == "growth" and "stage" in entry.details)
    return next((str(one.details["stage"]) for one in grown if within(one.seen_on, today, flush_days())), "")


def _month_day(frost: FrostDate | None) -> tuple[int, int] | None:
    return (frost.month, frost.day) if frost else None
