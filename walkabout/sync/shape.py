"""The shape of an entry as a phone sends it, before anything is asked of its kind."""

import math
import re
from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import Any, NamedTuple

from walkabout.entries.texts import gettext as _
from walkabout.errors import BadInput
from walkabout.records.entries import WITHDRAWAL, canonical, fingerprint_of

MOST_BYTES = 32_768  # of one entry as JSON; a note of the longest kind is far below
MOST_DAYS_AHEAD = 1  # a phone east of the yard may honestly be a day ahead
# A clock may be wrong by decades; beyond these years it is no time at all.
FIRST_YEAR, LAST_YEAR = 1970, 2200
MOST_CLOCK_DIFFERENCE = 1e10  # seconds

_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", re.ASCII)
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_MOMENT = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d{1,6})?(Z|[+-]\d{2}:\d{2})", re.ASCII)
_KIND = re.compile(r"[a-z][a-z_]{0,39}", re.ASCII)


class Sent(NamedTuple):
    """An entry whose shape is right. Fields as in records.entries.NewEntry; `details` are as sent."""

    id: str
    plant: str
    kind: str
    seen_on: date
    made_at: str
    clock_difference: float | None
    details: Mapping[str, Any]
    replaces: str | None
    withdraws: str | None
    author: str
    device: str
    form: int
    fingerprint: str


KEYS = frozenset(Sent._fields) - {"fingerprint"}


def read(raw: object, today: date) -> Sent:
    """An entry as sent, its shape checked.

    Args:
        raw: what JSON gave.
        today: the civil date in the yard.

    Raises:
        BadInput: with what is wrong, for the person who made the entry.
    """
    if not isinstance(raw, dict):
        raise BadInput(_("This is not an entry. Save it to a file and tell whoever looks after the server."))
    _check_keys(raw)
    text = _text(raw)
    sent = Sent(
        id=_id(raw, "id"),
        plant=_id(raw, "plant"),
        kind=_matching(raw, "kind", _KIND),
        seen_on=_seen_on(raw, today),
        made_at=_made_at(raw),
        clock_difference=_clock_difference(raw),
        details=_details(raw),
        replaces=_id(raw, "replaces") if raw["replaces"] is not None else None,
        withdraws=_id(raw, "withdraws") if raw["withdraws"] is not None else None,
        author=_id(raw, "author"),
        device=_id(raw, "device"),
        form=_form(raw),
        fingerprint=fingerprint_of(text),
    )
    _check_links(sent)
    return sent


def _wrong(key: str, why: str) -> BadInput:
    words = _(
        "The field “%(key)s” of this entry is not right: %(why)s. Edit the entry and keep it again.",
        key=key,
        why=why,
    )
    return BadInput(words, key)


def _check_keys(raw: dict[str, object]) -> None:
    if raw.keys() == KEYS:
        return
    unknown = sorted(raw.keys() - KEYS)
    if unknown:
        shown = unknown[0][:40].encode("ascii", "backslashreplace").decode()
        raise BadInput(
            _(
                "This server knows no field “%(key)s” in an entry. Open the page anew and keep the entry again.",
                key=shown,
            ),
            shown,
        )
    missing = sorted(KEYS - raw.keys())
    if missing:
        raise BadInput(
            _(
                "The field “%(key)s” of this entry is missing. Edit the entry and keep it again.",
                key=missing[0],
            ),
            missing[0],
        )


def _text(raw: dict[str, object]) -> bytes:
    try:
        text = canonical(raw)
    except UnicodeEncodeError as error:
        raise BadInput(_("This entry holds signs that are no text. Edit it and type them again.")) from error
    except ValueError as error:
        raise BadInput(
            _("This entry holds a number that is none. Edit it and type the number again.")
        ) from error
    if len(text) > MOST_BYTES:
        raise BadInput(_("This entry is too long to be kept. Edit it and shorten its note."))
    return text


def is_id(value: object) -> bool:
    """Whether this is a UUID in lower case, as all ids are."""
    return isinstance(value, str) and _is_id(value)


@lru_cache(maxsize=1024)  # a batch names the same few plants, one author and one device again and again
def _is_id(text: str) -> bool:
    return _ID.fullmatch(text) is not None


def _id(raw: dict[str, object], key: str) -> str:
    value = raw[key]
    if isinstance(value, str) and is_id(value):
        return value
    raise _wrong(key, _("it must be a UUID in lower case"))


def _matching(raw: dict[str, object], key: str, pattern: re.Pattern[str]) -> str:
    value = raw[key]
    if isinstance(value, str) and pattern.fullmatch(value):
        return value
    raise _wrong(key, _("it must be a short word"))


def _seen_on(raw: dict[str, object], today: date) -> date:
    value = raw["seen_on"]
    try:
        day = date.fromisoformat(value) if isinstance(value, str) and _DAY.fullmatch(value) else None
    except ValueError:
        day = None
    if day is None:
        raise _wrong("seen_on", _("it must be a date such as 2026-03-14"))
    if day - today > timedelta(days=MOST_DAYS_AHEAD):
        raise BadInput(
            _(
                "The date %(day)s is more than a day ahead of today in the yard, %(today)s. "
                "Edit the entry and choose another date.",
                day=day,
                today=today,
            ),
            "seen_on",
        )
    return day


def _made_at(raw: dict[str, object]) -> str:
    value = raw["made_at"]
    try:
        moment = (
            datetime.fromisoformat(value) if isinstance(value, str) and _MOMENT.fullmatch(value) else None
        )
        if moment is not None and FIRST_YEAR <= moment.astimezone(UTC).year < LAST_YEAR:
            return str(value)
    except (ValueError, OverflowError):
        pass
    raise _wrong(
        "made_at", _("it must be a time with its offset from UTC, such as 2026-03-14T07:42:10+02:00")
    )


def _clock_difference(raw: dict[str, object]) -> float | None:
    value = raw["clock_difference"]
    if value is None:
        return None
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise _wrong("clock_difference", _("it must be a number of seconds, or nothing"))
    if abs(value) > MOST_CLOCK_DIFFERENCE or not math.isfinite(value):
        raise _wrong("clock_difference", _("so many seconds cannot be"))
    return float(value)


def _details(raw: dict[str, object]) -> Mapping[str, Any]:
    value = raw["details"]
    if not isinstance(value, dict):
        raise _wrong("details", _("they must be fields with their values"))
    return value


def _form(raw: dict[str, object]) -> int:
    value = raw["form"]
    if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value <= 10_000:
        raise _wrong("form", _("it must be the number of a form"))
    return value


def _check_links(sent: Sent) -> None:
    if sent.replaces and sent.withdraws:
        raise _wrong("withdraws", _("an entry either corrects another or takes it back"))
    if sent.id in (sent.replaces, sent.withdraws):
        raise _wrong("replaces", _("an entry cannot be about itself"))
    if (sent.kind == WITHDRAWAL) != (sent.withdraws is not None):
        raise _wrong("withdraws", _("only an entry that takes another back names it here"))
    if sent.kind == WITHDRAWAL and sent.details:
        raise _wrong("details", _("an entry that takes another back has none"))
