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
_LONGEST_TITLE = 28  # characters: two lines of a button


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
    the table's list for crop, month, hemisphere and climate; then the kinds that are not among them yet. Room is
    kept for the stage that stands ready, for a pest and for damage, so that none of these is ever far. It orders
    choices and is never a finding.
    """
    found: list[Choice] = []
    for choice in _ranked(facts):
        with_it = [*found, choice]
        if choice not in found and len(with_it) + len(_lacking(with_it, facts)) <= SHOWN:
            found = with_it
    found += _lacking(found, facts)
    noted = {choice.kind for choice in found}
    others = [kind for kind in KINDS.values() if kind.on_plants and kind.key not in noted]
    return (*found, *(_plain(kind.key) for kind in others))[:SHOWN]


def _lacking(found: list[Choice], facts: KindFacts) -> list[Choice]:
    """What must be near and is not among the choices yet."""
    ready = _ready_bloom(facts)
    noted = {choice.kind for choice in found}
    near = [_plain(key) for key in ("pest", "damage") if key not in noted]
    return near if ready in found else [ready, *near]


def _ready_bloom(facts: KindFacts) -> Choice:
    stage = likely_stage(facts)
    return Choice("bloom", {"stage": stage}, stage_words(facts.crop, stage)) if stage else _plain("bloom")


def _plain(key: str) -> Choice:
    return Choice(key, {}, str(KINDS[key].title))


def _ranked(facts: KindFacts) -> Iterator[Choice]:
    for task, title in facts.tasks[:1]:
        words = gettext("Done: %(words)s", words=_short(title))
        yield Choice("done", {"task": task, "words": title}, words)
    for name in facts.open_problems[:2]:
        yield Choice("pest", {"problem": name}, problem_name(name))
    if facts.stages and likely_stage(facts):
        yield _ready_bloom(facts)
    for note in likely_notes(facts.crop, facts.today.month, warm=facts.warm, southern=facts.southern):
        yield from _from_table(note, facts)


def _short(title: str) -> str:
    return title if len(title) <= _LONGEST_TITLE else f"{title[: _LONGEST_TITLE - 1].rstrip()}…"


def _from_table(note: Likely, facts: KindFacts) -> Iterator[Choice]:
    """The table's note as a choice of the kinds there are. Stages outside bud and bloom have no kind yet."""
    if note.choice in CAUSE_OF_PROBLEM:
        cause = CAUSE_OF_PROBLEM[note.choice]
        yield Choice("damage", {"cause": cause}, gettext("%(cause)s damage", cause=dict(CAUSES)[cause]))
    elif note.kind in ("pest", "damage"):
        yield Choice("pest", {"problem": note.choice}, problem_name(note.choice))
    elif note.kind == "harvest":
        yield _plain("harvest")
    elif not facts.stages:  # the plant's own record outranks the month
        for stage in flowering_stages(facts.crop):
            if stage.key == note.choice:
                yield Choice("bloom", {"stage": stage.code}, stage.name)
