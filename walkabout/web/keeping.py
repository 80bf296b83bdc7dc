"""Keeping an entry that came by an ordinary form: the same road as entries from a phone's outbox."""

import hashlib
import secrets
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import DateField, HiddenField, ValidationError
from wtforms.validators import InputRequired

from walkabout.entries.kinds import kind
from walkabout.errors import BadInput
from walkabout.records import entries
from walkabout.sync import inbox
from walkabout.web import access, clock

_RANDOM_BITS = 74  # of a UUID version 7
DAYS_AHEAD = 1  # a phone east of the yard may honestly be a day ahead
_NO_CLOCK_DIFFERENCE = 0.0  # seconds: the time is the server's own


def latest_day() -> date:
    """The last day that an entry may be about."""
    return clock.today() + timedelta(days=DAYS_AHEAD)


class KeepForm(FlaskForm):
    """What every entry form has besides the fields of its kind."""

    entry_id = HiddenField()  # made with the form, so that a form sent twice keeps one entry
    seen_on = DateField(_("Seen on"), [InputRequired(_("Give the day."))])

    def validate_seen_on(self, field: DateField) -> None:
        """Not more than a day ahead."""
        if field.data and field.data > latest_day():
            raise ValidationError(_("This day is still to come. Give the day on which it was seen."))

    @classmethod
    def fresh(cls, seen_on: date) -> "KeepForm":
        """The form of a new entry."""
        return cls(data={"entry_id": new_entry_id(clock.now()), "seen_on": seen_on})


def new_entry_id(now: datetime) -> str:
    """A UUID version 7: milliseconds, then random bits."""
    return _uuid7(int(now.timestamp() * 1000), secrets.randbits(_RANDOM_BITS))


def id_on(press_id: str, plant_id: str, what: str = "entry") -> str:
    """The id of what one press makes on one plant: a UUID version 7 of the press's time.

    Its other bits follow from both, so that a press that is sent twice makes nothing twice.
    """
    digest = hashlib.sha256(f"{press_id} {plant_id} {what}".encode()).digest()
    return _uuid7(UUID(press_id).int >> 80, int.from_bytes(digest) & (1 << _RANDOM_BITS) - 1)


def _uuid7(milliseconds: int, random: int) -> str:
    """RFC 9562 section 5.7."""
    high, low = random >> 62, random & (1 << 62) - 1
    return str(UUID(int=milliseconds << 80 | 7 << 76 | high << 64 | 0b10 << 62 | low))


def keep(
    *,
    plant_id: str,
    kind_key: str,
    details: Mapping[str, Any],
    seen_on: date,
    entry_id: str | None = None,
    replaces: str | None = None,
    withdraws: str | None = None,
) -> str:
    """Keep an entry of the person who is signed in; gives its id.

    Args:
        entry_id: the id that came with the form. One that is known already with the same content is kept once;
            with other content this is a further entry and gets an id of its own.

    Raises:
        BadInput: it cannot be kept; the message says why.
    """
    here = access.require_sign_in()
    now = clock.now()
    before = entries.entry(entry_id) if entry_id else None
    if before is not None:
        if (before.author_id, before.plant_id, before.kind, before.seen_on, before.details) == (
            here.person.id,
            plant_id,
            kind_key,
            seen_on,
            dict(details),
        ):
            return before.id
        entry_id = None
    sent = as_sent(
        entry_id or new_entry_id(now),
        plant_id,
        kind_key,
        details,
        seen_on,
        replaces=replaces,
        withdraws=withdraws,
    )
    answer = inbox.take([sent], here.person, clock.the_yard(), now)[0]
    if answer.id is None or answer.word == inbox.REFUSED:
        raise BadInput(answer.reason or str(_("This entry cannot be kept.")))
    return answer.id


def as_sent(
    entry_id: str,
    plant_id: str,
    kind_key: str,
    details: Mapping[str, Any],
    seen_on: date,
    *,
    replaces: str | None = None,
    withdraws: str | None = None,
) -> dict[str, Any]:
    """An entry of the person who is signed in, as a phone would send it."""
    here = access.require_sign_in()
    return {
        "id": entry_id,
        "plant": plant_id,
        "kind": kind_key,
        "seen_on": seen_on.isoformat(),
        "made_at": clock.yard_time().isoformat(timespec="milliseconds"),
        "clock_difference": _NO_CLOCK_DIFFERENCE,
        "details": dict(details),
        "replaces": replaces,
        "withdraws": withdraws,
        "author": here.person.id,
        "device": here.session_id,
        "form": kind(kind_key).form_version,
    }
