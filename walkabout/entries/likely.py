"""The six first choices of a plant's page: what a grower most probably wants to note here and now."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from walkabout.entries.bloom import likely_stage
from walkabout.entries.damage import CAUSE_OF_PROBLEM, CAUSES
from walkabout.entries.facts import KindFacts
from walkabout.entries.kinds import KINDS
from walkabout.entries.texts import gettext
from walkabout.reference.likely import Likely, likely_notes
from walkabout.reference.problems import problem_name
from walkabout.reference.stages import flowering_stages, stage_words

SHOWN = 6


@dataclass(frozen=True, slots=True)
class Choice:
    """A likely note.

    Attributes:
        kind: key of its kind.
        preset: details that stand ready in its form; may be empty.
        words: words on its button.
    """

    kind: str
    preset: dict[str, Any]
    words: str


def likely_choices(facts: KindFacts) -> tuple[Choice, ...]:
    """Six choices, the most likely first, no two alike.

    In this order: the most urgent task; what is open on the plant; the next stage once one was seen this season;
    the table's list for crop, month, hemisphere and climate; then the kinds that are not among them yet. It orders choices
    and is never a finding.
    """
    found: list[Choice] = []
    for choice in _ranked(facts):
        if choice not in found:
            found.append(choice)
    noted = {choice.kind for choice in found}
    plain = [
        Choice(kind.key, {}, str(kind.title))
        for kind in KINDS.values()
        if kind.on_plants and kind.key not in noted
    ]
    return (*found, *plain)[:SHOWN]


def _ranked(facts: KindFacts) -> Iterator[Choice]:
    for task, title in facts.tasks[:1]:
        yield Choice("done", {"task": task, "words": title}, gettext("Done: %(words)s", words=title))
    for name in facts.open_problems[:2]:
        yield Choice("pest", {"problem": name}, problem_name(name))
    stage = likely_stage(facts)
    if facts.stages and stage:
        yield Choice("bloom", {"stage": stage}, stage_words(facts.crop, stage))
    for note in likely_notes(facts.crop, facts.today.month, warm=facts.warm, southern=facts.southern):
        yield from _from_table(note, facts)
    if stage:
        yield Choice("bloom", {"stage": stage}, stage_words(facts.crop, stage))


def _from_table(note: Likely, facts: KindFacts) -> Iterator[Choice]:
    """The table's note as a choice of the kinds there are. Stages outside bud and bloom have no kind yet."""
    if note.choice in CAUSE_OF_PROBLEM:
        cause = CAUSE_OF_PROBLEM[note.choice]
        yield Choice("damage", {"cause": cause}, gettext("%(cause)s damage", cause=dict(CAUSES)[cause]))
    elif note.kind in ("pest", "damage"):
        yield Choice("pest", {"problem": note.choice}, problem_name(note.choice))
    elif note.kind == "harvest":
        yield Choice("harvest", {}, str(KINDS["harvest"].title))
    elif not facts.stages:  # the plant's own record outranks the month
        for stage in flowering_stages(facts.crop):
            if stage.key == note.choice:
                yield Choice("bloom", {"stage": stage.code}, stage.name)
