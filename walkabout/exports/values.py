"""Is a record that comes from outside one that this program could have written?"""

import math
import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from walkabout.errors import BadInput
from walkabout.records.whole import Field, fields, tables

_PART_OF_DATE = re.compile(r"\d{4}(-\d{2}(-\d{2})?)?")
_HASH = re.compile(r"[0-9a-f]{64}")


def wrong(where: str, what: str) -> BadInput:
    """The error for a value that cannot be."""
    return BadInput(
        f"{where}: {what} cannot be read. Nothing was written. Take another copy, or mend that line."
    )


def _is_day(text: str) -> bool:
    return len(text) == 10 and date.fromisoformat(text).isoformat() == text


def _is_part_of_date(text: str) -> bool:
    whole = text + "-01-01"[3 * text.count("-") :]
    return _PART_OF_DATE.fullmatch(text) is not None and date.fromisoformat(whole) is not None


def _is_moment(text: str) -> bool:
    return datetime.fromisoformat(text).tzinfo is not None


def _is_hash(text: str) -> bool:
    return _HASH.fullmatch(text) is not None


# What texts of these names are.
_TEXTS: dict[str, Callable[[str], bool]] = {
    "planted": _is_part_of_date,
    "ended": _is_part_of_date,
    "grafted": _is_part_of_date,
    "seen_on": _is_day,
    "opens": _is_day,
    "closes": _is_day,
    "made_at": _is_moment,
    "received_at": _is_moment,
    "ended_at": _is_moment,
    "retired_at": _is_moment,
    "since": _is_moment,
    "hash": _is_hash,
    "kept_hash": _is_hash,
    "thumb_hash": _is_hash,
}


def checked(records: Any, where: str) -> dict[str, list[dict[str, Any]]]:
    """Records from outside, each with just the fields of its kind and of their kinds.

    Args:
        records: lists of records by table.
        where: how to name the file to a person.

    Raises:
        BadInput: they are not; the message names the first that is wrong.
    """
    if not isinstance(records, Mapping) or set(records) != set(tables()):
        raise wrong(where, "the list of tables")
    found: dict[str, list[dict[str, Any]]] = {}
    for table in tables():
        rows = records[table]
        if not isinstance(rows, list):
            raise wrong(where, table)
        known = fields(table)
        names = {field.name for field in known}
        for number, row in enumerate(rows, 1):
            place = f"{where}, {table} {number}"
            if not isinstance(row, dict) or set(row) != names:
                raise wrong(place, "the record")
            for field in known:
                if not fits(field, row[field.name]):
                    raise wrong(place, field.name)
        found[table] = rows
    _must_end(found["plant"], "merged_into", where)
    _must_end(found["plant"], "raised_from", where)
    return found


def fits(field: Field, value: Any) -> bool:
    """Whether a value is one that the field can have."""
    if value is None:
        return field.null
    match field.kind:
        case "yes_no":
            return isinstance(value, bool)
        case "whole":
            return isinstance(value, int) and not isinstance(value, bool) and abs(value) < 1 << 63
        case "number":
            return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
        case "json":
            return isinstance(value, dict) and _is_plain(value)
    return isinstance(value, str) and _is_text(field, value)


def _is_text(field: Field, text: str) -> bool:
    try:
        text.encode()
        look = _TEXTS.get(field.name)
        return look(text) if look else bool(text) or not field.null
    except ValueError:
        return False


def _is_plain(value: Any) -> bool:
    """Whether JSON holds only what can be written again: no number that is none, no text that is none."""
    if isinstance(value, dict):
        return all(_is_plain(name) and _is_plain(held) for name, held in value.items())
    if isinstance(value, list):
        return all(map(_is_plain, value))
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, str):
        return not any("\ud800" <= sign <= "\udfff" for sign in value)
    return True


def _must_end(plants: Sequence[Mapping[str, Any]], name: str, where: str) -> None:
    """Raises BadInput when plants lead to one another in a ring."""
    leads = {plant["id"]: plant[name] for plant in plants}
    sure: set[str] = set()
    for start in leads:
        way: set[str] = set()
        here = start
        while here is not None and here not in sure:
            if here in way:
                raise wrong(where, f"{name} of the plant {here}, which leads back to itself,")
            way.add(here)
            here = leads.get(here)
        sure |= way
