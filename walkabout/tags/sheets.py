"""Sheets of labels by their open dimensions, read from labels/*.toml. All lengths in mm."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from walkabout.assets import LABELS
from walkabout.errors import BadInput

_MM: Final = {"mm": 1.0, "in": 25.4}  # the inch is 25.4 mm exactly (ISO 80000-3)
_TOLERANCE: Final = 0.01  # mm; figures are given to a hundredth
_TABLES: Final = {
    "page": {"width", "height"},
    "label": {"width", "height", "corner"},
    "grid": {"columns", "rows"},
    "first": {"left", "top"},
    "pitch": {"x", "y"},
}


@dataclass(frozen=True, slots=True)
class Sheet:
    """One stock of labels. Lengths in mm, left and top from the page's top left corner."""

    name: str
    title: str
    page_width: float
    page_height: float
    label_width: float
    label_height: float
    corner: float
    columns: int
    rows: int
    left: float
    top: float
    pitch_x: float
    pitch_y: float

    @property
    def labels(self) -> int:
        """Labels on one page."""
        return self.columns * self.rows

    def places(self) -> Iterator[tuple[float, float]]:
        """Left and top edge of every label in mm, row by row from the top left."""
        for row in range(self.rows):
            for column in range(self.columns):
                yield self.left + column * self.pitch_x, self.top + row * self.pitch_y


@cache
def sheet_names(folder: Path = LABELS) -> tuple[str, ...]:
    """Names of the stocks that are known, in alphabetical order."""
    return tuple(sorted(path.stem for path in folder.glob("*.toml")))


@cache
def sheet(name: str, folder: Path = LABELS) -> Sheet:
    """The stock of that name.

    Raises:
        BadInput: there is no such stock, or its figures do not close.
    """
    if name not in sheet_names(folder):
        raise BadInput(
            f"No label sheet is called {name}. There are: {', '.join(sheet_names(folder))}.", field="sheet"
        )
    path = folder / f"{name}.toml"
    try:
        found = _read(name, tomllib.loads(path.read_text(encoding="utf-8")))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, KeyError, TypeError, ValueError) as error:
        raise BadInput(f"The label sheet {path.name} cannot be read: {error}.", field="sheet") from error
    _check_closes(found)
    return found


def _read(name: str, table: Mapping[str, Any]) -> Sheet:
    for key, keys in _TABLES.items():
        if set(table[key]) != keys:
            raise ValueError(f"{key} needs {', '.join(sorted(keys))} and nothing else")
    unit = table["unit"]
    if unit not in _MM:
        raise ValueError('unit is "mm" or "in"')

    def length(key: str, part: str) -> float:
        return float(table[key][part]) * _MM[unit]

    columns, rows = table["grid"]["columns"], table["grid"]["rows"]
    if not (isinstance(columns, int) and isinstance(rows, int)):
        raise TypeError("columns and rows are whole numbers")
    return Sheet(
        name=name,
        title=str(table["title"]),
        page_width=length("page", "width"),
        page_height=length("page", "height"),
        label_width=length("label", "width"),
        label_height=length("label", "height"),
        corner=length("label", "corner"),
        columns=columns,
        rows=rows,
        left=length("first", "left"),
        top=length("first", "top"),
        pitch_x=length("pitch", "x"),
        pitch_y=length("pitch", "y"),
    )


def _check_closes(found: Sheet) -> None:
    """Refuse labels that overlap, reach over the page, or are not there at all."""
    for along, count, first, pitch, size, page in (
        ("across", found.columns, found.left, found.pitch_x, found.label_width, found.page_width),
        ("down", found.rows, found.top, found.pitch_y, found.label_height, found.page_height),
    ):
        if count < 1 or size <= 0 or first < 0:
            raise BadInput(f"The label sheet {found.name} has no labels {along} the page.", field="sheet")
        if count > 1 and pitch < size - _TOLERANCE:
            raise BadInput(f"The labels of sheet {found.name} overlap {along} the page.", field="sheet")
        over = first + (count - 1) * pitch + size - page
        if over > _TOLERANCE:
            raise BadInput(
                f"The labels of sheet {found.name} reach {over:.2f} mm over the page, {along}.", field="sheet"
            )
