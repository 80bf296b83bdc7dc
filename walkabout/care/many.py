"""Groups of plants that one walk notes the same on: a row, all pots, all citrus, everything. Pure: where plants stand
comes in.

A group has growing plants only, in walking order. A row is what the names of its spots have before the last comma:
"Citrus row, 3" stands in the citrus row.
"""

import hashlib
import json
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from walkabout.care.plant_view import yard_facts
from walkabout.care.walk import WALKED, in_walking_order
from walkabout.entries.bloom import likely_stage
from walkabout.entries.facts import KindFacts, grafted
from walkabout.entries.kinds import KINDS
from walkabout.entries.likely import SHOWN, Choice
from walkabout.entries.pest import ranked_problems
from walkabout.entries.texts import gettext
from walkabout.records.plants import folded
from walkabout.records.walk import Stand
from walkabout.records.yards import Yard
from walkabout.reference.crops import crop_name, crops, families
from walkabout.reference.likely import usual_problems
from walkabout.reference.problems import problem_name
from walkabout.reference.stages import stage_words
from walkabout.reference.works import likely_works, works

ALL, THESE, POTS = "all", "these", "pots"
_USUAL_WORK = ("watered", "fed", "sprayed")
_PROBLEMS = 2  # shown
_FEWEST = 2  # plants; one alone has a page of its own
_DIGEST = 16


@dataclass(frozen=True)
class Group:
    """Plants that can be noted on together.

    Attributes:
        key: its name in addresses; the same as long as it is the same group.
        sort: "all", "these" (to be ticked by hand), "place" or "crop".
        name: words for it.
        plants: in walking order.
    """

    key: str
    sort: str
    name: str
    plants: tuple[Stand, ...]

    @property
    def ticked(self) -> bool:
        """Whether its plants stand ready ticked."""
        return self.sort != THESE

    @cached_property
    def crop(self) -> str:
        """The crop that its forms are drawn for: the one, in a family the commonest, "" where they have little in common."""
        counted = Counter(stand.crop for stand in self.plants)
        if len(counted) == 1 or any(counted.keys() <= set(family.crops) for family in families()):
            return counted.most_common(1)[0][0]
        return ""

    @cached_property
    def grafted(self) -> bool | None:
        """False as soon as one plant stands on its own roots: its forms then ask nothing that this one cannot be asked."""
        found = {grafted(stand.raised) for stand in self.plants}
        if False in found:
            return False
        return True if found == {True} else None

    @cached_property
    def digest(self) -> str:
        """Stands for all that a page of the group says of it."""
        told = [
            self.key,
            self.name,
            *([one.plant_id, one.name, one.crop, one.raised, one.spot] for one in self.plants),
        ]
        return hashlib.sha256(json.dumps(told).encode()).hexdigest()[:_DIGEST]


def groups(stands: Iterable[Stand]) -> tuple[Group, ...]:
    """All groups of a yard: everything, what is ticked by hand, by place, by crop. None where nothing grows."""
    walked = tuple(stand for stand in in_walking_order(stands) if stand.state == WALKED)
    if not walked:
        return ()
    return (
        Group(ALL, ALL, gettext("All growing plants"), walked),
        Group(THESE, THESE, gettext("These, ticked one by one"), walked),
        *_by_place(walked),
        *_by_crop(walked),
    )


def group_facts(group: Group, yard: Yard, today: date) -> KindFacts:
    """What the kinds of entry must know to draw a form that fits every plant of a group."""
    return replace(yard_facts(yard, today), crop=group.crop, grafted=group.grafted)


def _by_place(walked: Sequence[Stand]) -> list[Group]:
    rows: dict[str, list[Stand]] = defaultdict(list)
    spots: dict[str, list[Stand]] = defaultdict(list)
    for stand in walked:
        if stand.spot:
            spots[stand.spot_id].append(stand)
            rows[folded(_row(stand.spot))].append(stand)
    found = [Group(f"row-{_short(row)}", "place", _row(own[0].spot), tuple(own)) for row, own in rows.items()]
    wholes = {group.plants for group in found}
    found += [
        Group(f"spot-{spot_id}", "place", own[0].spot, tuple(own))
        for spot_id, own in spots.items()
        if tuple(own) not in wholes
    ]
    pots = tuple(stand for stand in walked if stand.container)
    found.append(Group(POTS, "place", gettext("All pots"), pots))
    return [group for group in found if len(group.plants) >= _FEWEST]


def _by_crop(walked: Sequence[Stand]) -> list[Group]:
    by_crop: dict[str, list[Stand]] = defaultdict(list)
    for stand in walked:
        by_crop[stand.crop].append(stand)
    found = []
    for family in families():
        grown = [crop for crop in family.crops if crop in by_crop]
        own = tuple(stand for stand in walked if stand.crop in grown)
        if len(grown) >= _FEWEST:
            found.append(Group(f"family-{family.key}", "crop", family.name, own))
    for crop in sorted(by_crop, key=lambda crop: folded(crop_name(crop))):
        key = crop if crop in crops() else _short(folded(crop))
        found.append(Group(f"crop-{key}", "crop", crop_name(crop), tuple(by_crop[crop])))
    return [group for group in found if len(group.plants) >= _FEWEST]


def _row(spot: str) -> str:
    return spot.rpartition(",")[0].strip() or spot


def _short(words: str) -> str:
    """A name for an address, from words that may hold anything."""
    return hashlib.sha256(words.encode()).hexdigest()[:_DIGEST]


def group_choices(facts: KindFacts) -> tuple[Choice, ...]:
    """Six first choices for a group: what is done to many plants at once, what is looked for, the stage.

    Work comes first, that of a short season in front; of a crop then its likely problems and the stage that stands
    ready. It orders choices and is never a finding.
    """
    season = likely_works(facts.crop, facts.today.month, SHOWN, southern=facts.southern)
    done = [
        Choice("done", {"work": [key]}, works()[key].words)
        for key in dict.fromkeys((*season[:1], *_USUAL_WORK))
    ]
    seen = [Choice("pest", {"problem": name}, problem_name(name)) for name in _problems(facts)[:_PROBLEMS]]
    near = (*seen, _ready_bloom(facts)) if seen else (_plain("pest"), _plain("damage"))
    return (*done[: SHOWN - len(near)], *near)


def _problems(facts: KindFacts) -> tuple[str, ...]:
    """Problems of a crop of the books: the likeliest of the month, then the usual ones."""
    likely, _others = ranked_problems(facts)
    usual = [name for name in usual_problems(facts.crop) if name in likely]
    return tuple(dict.fromkeys((*likely[:1], *usual))) if facts.crop else ()


def _ready_bloom(facts: KindFacts) -> Choice:
    stage = likely_stage(facts)
    return Choice("bloom", {"stage": stage}, stage_words(facts.crop, stage)) if stage else _plain("bloom")


def _plain(key: str) -> Choice:
    return Choice(key, {}, str(KINDS[key].title))
