"""The plant's name and its cultivar, set to fit the room beside the symbol. Lengths in mm."""

from dataclasses import dataclass
from typing import Final

from walkabout.tags import faces

_SHARES: Final = (1.0, 0.9, 0.8, 0.7)  # of the wanted type size, tried in turn
_CULTIVAR: Final = 0.8  # type size of the cultivar in type sizes of the name
_LEADING: Final = 1.16  # line distance in type sizes
_LONGEST: Final = 600  # characters looked at; no label holds as many
_GAP: Final = 0.2  # between name and cultivar, in type sizes of the name


@dataclass(frozen=True, slots=True)
class Line:
    """One line of type; drop is how far its base line lies below the top of the room."""

    face: str
    size: float
    text: str
    drop: float


def caption(plant: str, cultivar: str, size: float, wide: float, high: float) -> list[Line]:
    """The lines for a plant's name and its cultivar in a room of that width and height.

    A name that stays on one line in slightly smaller type gets it. Otherwise the type gives way down
    to seven tenths; then words are split, and what is still too long ends in an ellipsis.
    """
    name = faces.drawable(_beginning(plant), faces.NAME_FACE)
    kind = faces.drawable(_beginning(cultivar), faces.TEXT_FACE)
    tries = [(1, share) for share in _SHARES[:2]] + [(len(name), share) for share in _SHARES]
    for most, share in tries:
        names = faces.lines(name, faces.NAME_FACE, size * share, wide)
        kinds = faces.lines(kind, faces.TEXT_FACE, size * share * _CULTIVAR, wide)
        found = _set(names, kinds, size * share)
        if len(names) <= most and _fits(found, wide, high):
            return found
    return _cut_to_fit(name, kind, size * _SHARES[-1], wide, high)


def _beginning(text: str) -> str:
    return text if len(text) <= _LONGEST else text[:_LONGEST] + faces.ELLIPSIS


def _set(names: list[str], kinds: list[str], size: float) -> list[Line]:
    drop = 0.0
    found = []
    for text in names:
        drop += size * _LEADING
        found.append(Line(faces.NAME_FACE, size, text, drop))
    drop += size * _GAP if names else 0.0
    for text in kinds:
        drop += size * _CULTIVAR * _LEADING
        found.append(Line(faces.TEXT_FACE, size * _CULTIVAR, text, drop))
    return found


def _fits(found: list[Line], wide: float, high: float) -> bool:
    deepest = max((line.drop + line.size * faces.DESCENDER for line in found), default=0.0)
    return deepest <= high and all(faces.width(line.text, line.face, line.size) <= wide for line in found)


def _cut_to_fit(name: str, kind: str, size: float, wide: float, high: float) -> list[Line]:
    """Words split, and as many lines as there is room for; the name leaves one line to the cultivar."""
    names = faces.lines(name, faces.NAME_FACE, size, wide, split_words=True)
    kinds = faces.lines(kind, faces.TEXT_FACE, size * _CULTIVAR, wide, split_words=True)
    most = int(high // (size * _CULTIVAR))  # more lines than this never fit, however long the text
    for name_lines in range(min(len(names), most), min(len(names), 1) - 1, -1):
        for kind_lines in range(min(len(kinds), most), min(len(kinds), 1) - 1, -1):
            found = _set(
                _cut(names, faces.NAME_FACE, size, wide, name_lines),
                _cut(kinds, faces.TEXT_FACE, size * _CULTIVAR, wide, kind_lines),
                size,
            )
            if _fits(found, wide, high):
                return found
    return []


def _cut(lines: list[str], face: str, size: float, wide: float, most: int) -> list[str]:
    """At most so many lines; the last ends in an ellipsis if more were wanted."""
    if len(lines) <= most:
        return lines
    last = lines[most - 1].rstrip("-") + faces.ELLIPSIS
    return [*lines[: most - 1], faces.shortened(last, face, size, wide)]
