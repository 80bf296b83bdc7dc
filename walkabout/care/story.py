"""The lines of a plant's story: what each entry that stands noted, and what stood before it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from walkabout.entries.facts import KindFacts
from walkabout.entries.form import EntryForm
from walkabout.entries.kinds import KINDS, headline
from walkabout.entries.texts import gettext
from walkabout.records import photos, stories, tasks
from walkabout.records.entries import Entry
from walkabout.records.stories import Told


@dataclass(frozen=True, slots=True)
class Before:
    """What stood before a correction: its words, who noted it, and when (ISO 8601 with offset)."""

    words: str
    seen_on: date
    author: str
    made_at: str


@dataclass(frozen=True, slots=True)
class LinePhoto:
    """A photo of an entry: its name, and whether it has come or is still on its way."""

    name: str
    come: bool


@dataclass(frozen=True, slots=True)
class StoryLine:
    """One line of the story.

    Attributes:
        entry_id: the entry that stands.
        root_id: the entry it goes back to; corrections and withdrawals name this one.
        plant_id: the plant that it was noted about; corrections and withdrawals are about the same.
        words: what it noted.
        answers: the same as its kind's form on this page takes it; None where the page has no such form.
        author: name of the person who made it.
        corrections: how often it was corrected.
        before: what stood before, the latest first.
        photos: in the order in which they were added.
    """

    entry_id: str
    root_id: str
    plant_id: str
    seen_on: date
    kind: str
    words: str
    answers: dict[str, Any] | None
    author: str
    corrections: int
    before: tuple[Before, ...] = ()
    photos: tuple[LinePhoto, ...] = ()


def story_lines(
    told: Sequence[Told], forms: Mapping[str, EntryForm], facts: KindFacts
) -> tuple[StoryLine, ...]:
    """The lines of what was told, in three queries at most.

    Args:
        told: entries that stand.
        forms: by kind, the forms that the page holds; lines of other kinds have no answers.
        facts: of the plant.
    """
    corrected = [line for line in told if line.corrections]
    replaced = (
        stories.replaced([line.root_id for line in corrected], [line.entry.id for line in corrected])
        if corrected
        else {}
    )
    titled = _titled([*(line.entry for line in told), *_entries(replaced)], facts)
    come = photos.come(name for line in told for name in line.entry.details.get("photos", ()))
    return tuple(
        StoryLine(
            entry_id=line.entry.id,
            root_id=line.root_id,
            plant_id=line.entry.plant_id,
            seen_on=line.entry.seen_on,
            kind=line.entry.kind,
            words=_words(line.entry, titled),
            answers=_answers(line.entry, forms),
            author=line.author_name,
            corrections=line.corrections,
            before=tuple(
                Before(_words(old.entry, titled), old.entry.seen_on, old.author_name, old.entry.made_at)
                for old in replaced.get(line.root_id, ())
            ),
            photos=tuple(LinePhoto(name, name in come) for name in line.entry.details.get("photos", ())),
        )
        for line in told
    )


def _entries(replaced: Mapping[str, Sequence[Told]]) -> list[Entry]:
    return [old.entry for lines in replaced.values() for old in lines]


def _titled(entries: Sequence[Entry], facts: KindFacts) -> KindFacts:
    """With the titles of the tasks that these entries ticked off."""
    ticked = {entry.details["task"] for entry in entries if "task" in entry.details}
    return replace(facts, tasks=tuple(tasks.task_titles(ticked).items())) if ticked else facts


def _words(entry: Entry, facts: KindFacts) -> str:
    if entry.kind not in KINDS:  # a newer program was here before
        return gettext("An entry that this program cannot read")
    return headline(entry.kind, entry.details, facts)


def _answers(entry: Entry, forms: Mapping[str, EntryForm]) -> dict[str, Any] | None:
    """What the form has no field for is left out: the server would refuse it of a correction too."""
    form = forms.get(entry.kind)
    return form.shown(entry.details) if form else None
