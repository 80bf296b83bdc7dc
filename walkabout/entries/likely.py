"""The six first choices of a plant's page: what a grower most probably wants to note here and now."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from walkabout.entries.bloom import likely_stage
from walkabout.entries.damage import CAUSE_OF_PROBLEM, CAUSES
from walkabout.entries.facts import KindFacts
from walkabout.entries.growth import SHOOTS
from walkabout.entries.kind import Details
from walkabout.entries.kinds import KINDS
from walkabout.entries.texts import gettext
from walkabout.reference.likely import Likely, flush_problems, likely_notes
from walkabout.reference.problems import problem_name, problems_of
from walkabout.reference.stages import (
    Stage,
    flowering_stages,
    fruiting_tracks,
    growth_stages,
    next_stage,
    stages_of,
    track_words,
)
from walkabout.reference.works import commonest_works, suits, works

SHOWN = 6
_NEAR = ("pest", "damage", "done")  # kinds that are never further than one press
_LONGEST_TITLE = 28  # characters: two lines of a button
_OPEN_SHOWN = 2
_NEXT_SHOWN = 2
_FLUSH_SHOWN = 2
_CHOSEN_SHOWN = 2
_WORKS_SHOWN = 2


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


class Chosen(NamedTuple):
    """An entry that a person made lately on any plant."""

    kind: str
    details: Details


def choices_without_growth(state: str) -> tuple[Choice, ...]:
    """What can be noted of a plant that does not grow: of one that is wanted or ordered also that it was planted."""
    note = _plain("note")
    return (_of_works(["planted"]), note) if state in ("wanted", "ordered") else (note,)


def likely_choices(
    facts: KindFacts, chosen: Iterable[Chosen] = (), damage: Sequence[str] = (), flush: str = ""
) -> tuple[Choice, ...]:
    """Six choices, the most likely first, no two alike.

    In this order: the most urgent task; what is open on the plant; what comes with a soft flush; the next stage of each track that was seen this
    season; what this person chose last, as far as this plant can have it; the table's list for crop, month,
    hemisphere and climate; the work of the month; then the kinds that are not among them yet. Room is kept for a
    pest, for damage, for work done and, about the time of bloom, for the stage that stands ready, so that none of
    these is ever far. It orders choices and is never a finding.

    Args:
        facts: of the plant, with its open problems, stages and tasks.
        chosen: what this person noted lately, the latest first.
        damage: causes of the damage that is open and recent, the latest first; one looks again how it grew.
        flush: code of the growth that was seen lately (see flush_days); "" when none was.
    """
    found: list[Choice] = []
    for choice in _ranked(facts, chosen, damage, flush):
        with_it = [*found, choice]
        if not _among(choice, found) and len(with_it) + len(_lacking(with_it, facts)) <= SHOWN:
            found = with_it
    found += _lacking(found, facts)
    noted = {choice.kind for choice in found}
    others = [kind for kind in KINDS.values() if kind.on_plants and kind.key not in noted]
    return (*found, *(_plain(kind.key) for kind in others))[:SHOWN]


def _among(choice: Choice, found: Sequence[Choice]) -> bool:
    return any((one.kind, one.preset) == (choice.kind, choice.preset) for one in found)


def _lacking(found: Sequence[Choice], facts: KindFacts) -> list[Choice]:
    """What must be near and is not among the choices yet."""
    noted = {choice.kind for choice in found}
    near = [_plain(key) for key in _NEAR if key not in noted]
    ready = _ready_bloom(facts)
    return near if ready is None or _among(ready, found) else [ready, *near]


def _ready_bloom(facts: KindFacts) -> Choice | None:
    """The stage of bloom that stands ready; None outside its months, a month more at both ends."""
    ready = likely_stage(facts)
    named = next((stage for stage in flowering_stages(facts.crop) if stage.code == ready), None)
    return _of_stage(named, facts) if named and _blooms_about(facts) else None


def _blooms_about(facts: KindFacts) -> bool:
    """Whether the table lists bloom for this month or one beside it; True for a crop that it does not know."""
    lists = [
        likely_notes(facts.crop, month % 12 + 1, warm=facts.warm, southern=facts.southern)
        for month in range(facts.today.month - 2, facts.today.month + 1)
    ]
    return not any(lists) or any(note.kind == "bloom" for notes in lists for note in notes)


def _plain(key: str) -> Choice:
    return Choice(key, {}, str(KINDS[key].title))


def _ranked(
    facts: KindFacts, chosen: Iterable[Chosen], damage: Sequence[str], flush: str
) -> Iterator[Choice]:
    for task, title in facts.tasks[:1]:
        words = gettext("Done: %(words)s", words=_short(title))
        yield Choice("done", {"task": task, "words": title}, words)
    for name in facts.open_problems[:_OPEN_SHOWN]:
        yield _of_problem(name)
    yield from (_of_cause(cause) for cause in damage[:1] if cause in dict(CAUSES))
    yield from (_of_problem(name) for name in flush_problems(facts.crop, flush)[:_FLUSH_SHOWN])
    yield from list(_next_stages(facts))[:_NEXT_SHOWN]
    yield from _chosen(facts, chosen)[:_CHOSEN_SHOWN]
    for note in likely_notes(facts.crop, facts.today.month, warm=facts.warm, southern=facts.southern):
        yield from _from_table(note, facts)
    month = commonest_works(facts.crop, facts.today.month, southern=facts.southern)
    yield from (_of_works([work]) for work in month[:_WORKS_SHOWN])


def _short(title: str) -> str:
    return title if len(title) <= _LONGEST_TITLE else f"{title[: _LONGEST_TITLE - 1].rstrip()}…"


def _of_problem(name: str) -> Choice:
    """A problem of the books; some are noted as damage."""
    if name in CAUSE_OF_PROBLEM:
        return _of_cause(CAUSE_OF_PROBLEM[name])
    return Choice("pest", {"problem": name}, problem_name(name))


def _of_cause(cause: str) -> Choice:
    return Choice("damage", {"cause": cause}, gettext("%(cause)s damage", cause=dict(CAUSES)[cause]))


def _of_stage(stage: Stage, facts: KindFacts) -> Choice:
    """The note of a stage: as bloom, as fruit set, else as growth."""
    if stage in flowering_stages(facts.crop):
        return Choice("bloom", {"stage": stage.code}, stage.name)
    if stage.phase == "set":
        return Choice("fruit_set", {}, stage.name)
    return Choice("growth", {"stage": stage.code}, stage.name)


def _of_works(keys: Sequence[str]) -> Choice:
    first, *others = [works()[key].words for key in keys]
    return Choice(
        "done", {"work": list(keys)}, _short(", ".join([first, *(word.lower() for word in others)]))
    )


def _next_stages(facts: KindFacts) -> Iterator[Choice]:
    """The stage after the last one of each track, the track seen last in front."""
    tracks = set()
    for code in facts.stages:
        track = code.partition("/")[0]
        after = next_stage(facts.crop, code)
        if track not in tracks and after:
            yield _of_stage(after, facts)
        tracks.add(track)


def _from_table(note: Likely, facts: KindFacts) -> Iterator[Choice]:
    """The table's note as a choice. A stage of a track that was seen this season is left out: the plant's own
    record outranks the month."""
    if note.kind in ("pest", "damage"):
        yield _of_problem(note.choice)
        return
    seen = {code.partition("/")[0] for code in facts.stages}
    for stage in stages_of(facts.crop):
        if stage.key != note.choice:
            continue
        if note.kind == "harvest":
            yield _of_harvest(stage, facts)
        elif stage.track not in seen:
            yield _of_stage(stage, facts)


def _of_harvest(stage: Stage, facts: KindFacts) -> Choice:
    """Harvest; of the crop that is ripe where several ripen apart."""
    if stage.track not in dict(fruiting_tracks(facts.crop)):
        return _plain("harvest")
    words = gettext("Harvest: %(which)s", which=track_words(stage.track).lower())
    return Choice("harvest", {"track": stage.track}, words)


def _chosen(facts: KindFacts, chosen: Iterable[Chosen]) -> list[Choice]:
    """What was chosen last, each once, where this plant can have it too."""
    found: list[Choice] = []
    for kind, details in chosen:
        choice = _chosen_again(kind, details, facts)
        if choice and not _among(choice, found):
            found.append(choice)
    return found


def _chosen_again(kind: str, details: Details, facts: KindFacts) -> Choice | None:
    if kind == "pest":
        name = details.get("problem")
        return _of_problem(name) if name in {problem.id for problem in problems_of(facts.crop)} else None
    if kind == "damage":
        return _of_cause(details["cause"]) if details.get("cause") in dict(CAUSES) else None
    if kind == "done":
        keys = [key for key in details.get("work", ()) if key != "other"]
        suitable = keys and "task" not in details and all(suits(key, facts.crop) for key in keys)
        return _of_works(keys) if suitable else None
    if kind in ("bloom", "growth"):
        return _stage_again(str(details.get("stage")), facts)
    return _plain(kind) if kind in ("fruit_set", "harvest", "measured") else None


def _stage_again(code: str, facts: KindFacts) -> Choice | None:
    """A stage that was just noted on another plant; not one of a track in which this plant's own stage is known, and
    none of bloom out of season."""
    if code == SHOOTS:
        return Choice("growth", {"stage": SHOOTS}, gettext("New shoots"))
    if code.partition("/")[0] in {own.partition("/")[0] for own in facts.stages}:
        return None
    flowering = flowering_stages(facts.crop) if _blooms_about(facts) else ()
    offered = (*flowering, *growth_stages(facts.crop))
    return next((_of_stage(stage, facts) for stage in offered if stage.code == code), None)
