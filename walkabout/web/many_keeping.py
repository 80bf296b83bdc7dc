"""Keeping one note on several plants that came by an ordinary form: an entry for each, all in one transaction.

What one press makes is found again by the id of the press: the id of each of its entries follows from it and the
plant (`keeping.id_on`). So nothing beside the entries has to be recorded.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from flask_babel import gettext as _

from walkabout.care.walk import in_walking_order
from walkabout.entries.facts import KindFacts, grafted
from walkabout.entries.kinds import kind
from walkabout.errors import BadInput
from walkabout.records import entries
from walkabout.records.entries import WITHDRAWAL, Entry
from walkabout.records.walk import Stand, stands
from walkabout.sync import inbox
from walkabout.web import access, clock
from walkabout.web.keeping import as_sent, id_on, new_entry_id


def keep_on_many(
    chosen: Sequence[Stand], kind_key: str, details: Mapping[str, Any], seen_on: date, press_id: str
) -> str:
    """Keep the same on each of the plants, or on none; gives the id of the press.

    Args:
        press_id: the id that came with the form. A form that is sent twice keeps once; sent again with other
            answers it says something further, which becomes a press of its own.

    Raises:
        BadInput: one of the plants cannot be noted on so; the message names it.
    """
    _refuse_what_does_not_fit(chosen, kind_key, details)
    here = entries.entries_by_id(id_on(press_id, stand.plant_id) for stand in chosen)
    said = (access.require_sign_in().person.id, kind_key, seen_on, dict(details))
    if any((found.author_id, found.kind, found.seen_on, found.details) != said for found in here.values()):
        press_id, here = new_entry_id(clock.now()), {}
    _take(
        as_sent(entry_id, stand.plant_id, kind_key, details, seen_on)
        for stand in chosen
        if (entry_id := id_on(press_id, stand.plant_id)) not in here
    )
    return press_id


def kept_on_many(press_id: str) -> list[tuple[Stand, Entry]]:
    """What a press has made, each with its plant, in walking order; nothing if there was no such press."""
    by_id = {id_on(press_id, stand.plant_id): stand for stand in in_walking_order(stands())}
    here = entries.entries_by_id(by_id)
    return [(stand, here[entry_id]) for entry_id, stand in by_id.items() if entry_id in here]


def take_back_on_many(press_id: str) -> None:
    """Take back what still stands of what a press has made."""
    kept = {entry.id: entry for _stand, entry in kept_on_many(press_id)}
    _take(
        as_sent(
            new_entry_id(clock.now()),
            kept[entry_id].plant_id,
            WITHDRAWAL,
            {},
            clock.today(),
            withdraws=entry_id,
        )
        for entry_id in sorted(entries.standing_ids(kept))
    )


def _refuse_what_does_not_fit(chosen: Sequence[Stand], kind_key: str, details: Mapping[str, Any]) -> None:
    units, today = clock.the_yard().units, clock.today()
    alike = {(stand.crop, grafted(stand.raised)): stand for stand in reversed(chosen)}
    for (crop, on_stock), stand in alike.items():
        try:
            kind(kind_key).check(details, KindFacts(crop, on_stock, units, today))
        except BadInput as error:
            words = _(
                "%(name)s cannot be noted on so: %(reason)s Nothing is kept yet. Untick it, or change the answer.",
                name=stand.name,
                reason=error.message,
            )
            raise BadInput(words, error.field) from error


def _take(sent: Iterable[dict[str, Any]]) -> None:
    answers = inbox.take(list(sent), access.require_sign_in().person, clock.the_yard(), clock.now())
    refused = next((answer for answer in answers if answer.word == inbox.REFUSED), None)
    if refused is not None:
        raise BadInput(refused.reason or str(_("This entry cannot be kept.")))
