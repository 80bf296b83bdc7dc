"""Records as tables for a spreadsheet, and back. No cell is taken for a formula, and each can be read back exactly.

A spreadsheet runs a cell that begins with one of a few signs. Source: OWASP, "CSV Injection" (= + - @, tab, carriage
return, line feed, and the full-width forms of the first four). Such a text gets an apostrophe before it, and so does
one that begins with an apostrophe: to read it back, one apostrophe is taken away. Numbers are left as they are.
"""

import csv
import io
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from walkabout.errors import BadInput
from walkabout.exports.values import wrong
from walkabout.records.whole import Field, fields, tables

MARK = "'"
STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", MARK)
_UNITS = {"m": "m", "cm": "cm", "kg": "kg", "litres": "litres"}
# Beside an id stands the name of what it names, for people to read; it is not read back.
_NAMES = {
    "plant_id": "plant",
    "raised_from": "plant",
    "merged_into": "plant",
    "spot_id": "spot",
    "limb_id": "limb",
    "author_id": "person",
    "person_id": "person",
    "made_by": "person",
}
_PLURALS = {
    "yard": "yard",
    "person": "people",
    "entry": "entries",
}
_YES_NO = {True: "yes", False: "no"}


def file_name(table: str) -> str:
    """The file of a table."""
    return f"{_PLURALS.get(table, table + 's')}.csv"


FILES = {table: file_name(table) for table in tables()}


def heading(name: str) -> str:
    """How a column is headed: "Wanted height (m)"."""
    words = name.split("_")
    unit = _UNITS.get(words[-1]) if len(words) > 1 else None
    plain = " ".join(words[:-1] if unit else words).capitalize()
    return f"{plain} ({unit})" if unit else plain


def safe(text: str) -> str:
    """A text as a cell that no spreadsheet runs."""
    return MARK + text if text.startswith(STARTS) else text


def unsafe(cell: str) -> str:
    """The text of a cell that `safe` made."""
    return cell[1:] if cell.startswith(MARK) else cell


def table_pieces(table: str, records: Mapping[str, Sequence[Mapping[str, Any]]]) -> Iterator[bytes]:
    """One table as CSV in UTF-8 with a byte order mark, which spreadsheets want, some at a time."""
    names = {
        kind: {row["id"]: row["name"] for row in records[kind]}
        for kind in set(_NAMES.values())
        if kind in records
    }
    told = _told_fields(table, records[table])
    headings: list[str] = []
    for field in fields(table):
        if field.name in _NAMES:
            headings.append(_name_heading(field.name))
        headings.append(_heading(field))
    text = io.StringIO(newline="")
    rows = csv.writer(text)
    rows.writerow([*headings, *(f"Details: {heading(name).lower()}" for name in told)])
    yield "\ufeff".encode()
    for row in records[table]:
        cells: list[str] = []
        for field in fields(table):
            value = row[field.name]
            if field.name in _NAMES:
                cells.append(safe(names[_NAMES[field.name]].get(value, "")))
            cells.append(_cell(field, value))
        rows.writerow([*cells, *(_told(row["details"].get(name)) for name in told)])
        if text.tell() > 1 << 16:
            yield text.getvalue().encode()
            text.seek(0)
            text.truncate()
    yield text.getvalue().encode()


def rows_of(table: str, content: Iterable[bytes]) -> list[dict[str, Any]]:
    """The records of a table that `table_pieces` wrote; columns that it does not know are left alone.

    Raises:
        BadInput: it is no such table; the message names the line.
    """
    name = FILES[table]
    try:
        text = b"".join(content).decode("utf-8-sig")
        sheet = csv.reader(io.StringIO(text, newline=""), strict=True)
        head = next(sheet, [])
        places = {field: _place(field, head, name) for field in fields(table)}
        return [
            {
                field.name: _value(field, row[place], f"{name}, line {sheet.line_num}")
                for field, place in places.items()
            }
            for row in sheet
            if _whole(row, head, f"{name}, line {sheet.line_num}")
        ]
    except UnicodeDecodeError as error:
        raise BadInput(f"{name} is not in UTF-8. Nothing was written. Save it as CSV UTF-8.") from error
    except csv.Error as error:
        raise BadInput(f"{name} is no CSV file ({error}). Nothing was written. Take another copy.") from error


def _heading(field: Field) -> str:
    return (
        f"{heading(field.name)} id"
        if field.name in ("raised_from", "merged_into", "made_by")
        else heading(field.name)
    )


def _name_heading(name: str) -> str:
    return heading(name.removesuffix("_id"))


def _told_fields(table: str, rows: Sequence[Mapping[str, Any]]) -> list[str]:
    if table != "entry":
        return []
    return sorted({name for row in rows for name in row["details"]})


def _told(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, list):
        return safe("; ".join(map(str, value)))
    return safe(value) if isinstance(value, str) else str(value)


def _cell(field: Field, value: Any) -> str:
    if value is None:
        return ""
    match field.kind:
        case "json":
            return json.dumps(value, ensure_ascii=False, sort_keys=True)
        case "yes_no":
            return _YES_NO[value]
        case "text":
            return safe(value)
    return repr(value)


def _place(field: Field, head: Sequence[str], name: str) -> int:
    try:
        return list(head).index(_heading(field))
    except ValueError as error:
        raise BadInput(
            f'{name} has no column "{_heading(field)}". Nothing was written. Take the file as it was exported.'
        ) from error


def _whole(row: Sequence[str], head: Sequence[str], where: str) -> bool:
    """False for a line that is only empty.

    Raises:
        BadInput: it has too few or too many cells.
    """
    if not row:
        return False
    if len(row) != len(head):
        raise BadInput(
            f"{where} has {len(row)} cells and not {len(head)}. Nothing was written. Look at that line."
        )
    return True


def _value(field: Field, cell: str, where: str) -> Any:
    if cell == "" and field.null:
        return None
    try:
        match field.kind:
            case "text":
                return unsafe(cell)
            case "json":
                return json.loads(cell)
            case "number":
                return float(cell)
            case "whole":
                return int(cell)
        return {"yes": True, "no": False}[cell]
    except (ValueError, KeyError) as error:
        raise wrong(where, _heading(field)) from error
