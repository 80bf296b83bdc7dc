"""What phones send: each entry is judged on its own, the good ones are kept in one transaction.

Sending the same entries again, in any order, leaves the same records: an id is kept once, and whether an
entry is good depends on the entry, the plant and the day, never on what else is in the batch.
"""

import json
import logging
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from walkabout.entries.facts import KindFacts, grafted
from walkabout.entries.kinds import kind, subject
from walkabout.entries.texts import gettext as _
from walkabout.errors import BadInput
from walkabout.records import entries, plants, refusals
from walkabout.records.entries import WITHDRAWAL, Kept, NewEntry
from walkabout.records.people import Person
from walkabout.records.yards import Yard
from walkabout.sync import shape

MOST_ENTRIES = 50
MOST_BYTES = 256_000  # of a whole request

STORED, HERE, REFUSED = "stored", "here", "refused"
_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Answer:
    """The server's word for one entry: "stored", "here" (already), or "refused" with a reason.

    `id` is None when the entry had none that could be read.
    """

    id: str | None
    word: str
    reason: str | None = None


@dataclass(frozen=True, slots=True)
class _Judge:
    """What an entry is judged by."""

    person: Person
    yard: Yard
    today: date
    plants: dict[str, tuple[str, str]]  # crop, and how raised

    def accept(self, raw: object) -> NewEntry:
        """The entry as it is to be kept.

        Raises:
            BadInput: it cannot be kept; the message says why, for the person who made it.
        """
        sent = shape.read(raw, self.today)
        if sent.author != self.person.id:
            raise BadInput(
                _(
                    "Somebody else made this entry. It is safe on this phone and is sent when they sign in on it."
                )
            )
        plant = self.plants.get(sent.plant)
        if plant is None:
            raise BadInput(
                _("This yard has no such plant. Save the entry to a file, then note it on the right plant.")
            )
        details, about = sent.details, ""
        if sent.kind != WITHDRAWAL:
            details = _checkers.of(sent.kind, *plant, self.yard.units, self.today)(sent.details)
            about = subject(sent.kind, details)
        return NewEntry(
            id=sent.id,
            plant_id=sent.plant,
            kind=sent.kind,
            subject=about,
            seen_on=sent.seen_on,
            made_at=sent.made_at,
            clock_difference=sent.clock_difference,
            details=details,
            replaces=sent.replaces,
            withdraws=sent.withdraws,
            author_id=sent.author,
            device=sent.device,
            form=sent.form,
            fingerprint=sent.fingerprint,
        )


class _Checkers(threading.local):
    """Checks that are ready, of each thread its own: a check holds the entry that it is at."""

    most = 200  # kinds by crops; the day is among the facts, so old ones gather

    def __init__(self) -> None:
        self.ready: dict[tuple[object, ...], Callable[[object], dict[str, Any]]] = {}

    def of(
        self, kind_key: str, crop: str, raised: str, units: str, today: date
    ) -> Callable[[object], dict[str, Any]]:
        """The check of a kind for plants of a crop that were raised in one way."""
        asked = (kind_key, crop, raised, units, today)
        found = self.ready.get(asked)
        if found is None:
            if len(self.ready) >= self.most:
                self.ready.clear()
            facts = KindFacts(crop, grafted(raised), units, today)
            found = self.ready[asked] = kind(kind_key).checker(facts)
        return found


_checkers = _Checkers()


def take(batch: Sequence[object], person: Person, yard: Yard, now: datetime) -> list[Answer]:
    """Keep what can be kept of a batch; on return it survives a power cut.

    An entry that the program itself fails on gets no answer: it waits on the phone, and the others are kept.

    Args:
        batch: entries as JSON gave them, at most MOST_ENTRIES.
        person: who is signed in.
        yard: the yard.
        now: this moment, with its time zone.

    Returns:
        Answers for the entries, in their order.
    """
    today = now.astimezone(ZoneInfo(yard.timezone)).date()
    named = {raw["plant"] for raw in batch if isinstance(raw, dict) and shape.is_id(raw.get("plant"))}
    judge = _Judge(person, yard, today, plants.crops_and_roots(named))
    good: list[NewEntry] = []
    judged: list[tuple[object, Answer | None]] = []  # None: good, the word comes from the keeping
    for raw in batch:
        try:
            good.append(judge.accept(raw))
            judged.append((raw, None))
        except BadInput as error:
            judged.append((raw, _unless_here(raw, error)))
        except Exception:  # one entry must never keep the others from being kept
            _log.exception("An entry could not be judged; it stays on the phone.")
    kept = iter(entries.keep_entries(good))
    answers = [(raw, answer or _of(next(kept))) for raw, answer in judged]
    refused = [(answer.reason or "", json.dumps(raw)) for raw, answer in answers if answer.word == REFUSED]
    refusals.keep_refusals(refused, person.id)
    return [answer for __, answer in answers]


def _of(kept: Kept) -> Answer:
    if kept.word != REFUSED:
        return Answer(kept.id, kept.word)
    reason = _(
        "An entry of this id with other content is kept here already; that one stays as it is. "
        "If this one says something new, edit it and keep it again."
    )
    return Answer(kept.id, REFUSED, reason)


def _unless_here(raw: object, error: BadInput) -> Answer:
    """A refusal, unless the very same entry was kept before, when the rules or the plant may have been others."""
    entry_id = raw.get("id") if isinstance(raw, dict) else None
    if not isinstance(entry_id, str) or not shape.is_id(entry_id):
        return Answer(None, REFUSED, error.message)
    before = entries.entry(entry_id)
    if before is not None and before.fingerprint == _fingerprint(raw):
        return Answer(entry_id, HERE)
    return Answer(entry_id, REFUSED, error.message)


def _fingerprint(raw: object) -> str | None:
    try:
        return entries.fingerprint(raw)
    except ValueError:  # no such thing has ever been kept
        return None
