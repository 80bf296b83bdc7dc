"""The typefaces of the tags: what they can draw, how wide it is, how it breaks into lines.

DejaVu may be embedded (labels/fonts/LICENSE.txt), tells 0, 8 and B apart, and knows the Latin, Greek
and Cyrillic alphabets. Lengths in mm.
"""

import unicodedata
from functools import cache
from typing import Final

from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from walkabout.assets import LABELS

CODE_FACE: Final = "DejaVuSansMono-Bold"
NAME_FACE: Final = "DejaVuSansCondensed-Bold"
TEXT_FACE: Final = "DejaVuSansCondensed"

CAP_HEIGHT: Final = 1493 / 2048
"""Height of a capital H in all three faces, as a share of the type size (from its outline)."""
ASCENDER: Final = 0.76
DESCENDER: Final = 0.24
"""Reach of d and p above and below the base line, as a share of the type size (hhea table)."""

MISSING: Final = "\u25a1"
"""An open square stands for what the face cannot draw."""
ELLIPSIS: Final = "\u2026"

# Written from right to left, or joined: drawing these letter by letter would give nonsense.
_RIGHT_TO_LEFT: Final = frozenset({"R", "AL", "AN"})


@cache
def load(face: str) -> TTFont:
    """Register a face with the PDF maker, once in a process."""
    font = TTFont(face, str(LABELS / "fonts" / f"{face}.ttf"))
    pdfmetrics.registerFont(font)
    return font


def drawable(text: str, face: str) -> str:
    """The text on one line as the face can draw it.

    Accents that the face lacks are left off; any other character it lacks becomes an open square, so
    that a gap is seen. A text of which nothing can be drawn is left out: its place stays free for a
    pen. Control characters go.
    """
    drawn = _drawn(text, face)
    return drawn if drawn.replace(MISSING, "").strip() else ""


def has_gaps(text: str, face: str) -> bool:
    """Whether the text holds a character that the face cannot draw."""
    return MISSING in _drawn(text, face)


def width(text: str, face: str, size: float) -> float:
    """Width in mm of a drawable text at a type size in mm."""
    load(face)
    return float(pdfmetrics.stringWidth(text, face, size * mm)) / mm


def shortened(text: str, face: str, size: float, room: float) -> str:
    """The text, or as much of its beginning as fits the room in mm with an ellipsis."""
    if width(text, face, size) <= room:
        return text
    fits, too_long = 0, len(text)
    while too_long - fits > 1:
        middle = (fits + too_long) // 2
        if width(text[:middle].rstrip() + ELLIPSIS, face, size) <= room:
            fits = middle
        else:
            too_long = middle
    return text[:fits].rstrip() + ELLIPSIS


def lines(text: str, face: str, size: float, room: float, *, split_words: bool = False) -> list[str]:
    """The text broken between words into lines that fit the room in mm.

    A word that is wider than the room stays whole on a line of its own, unless words may be split.
    """
    broken: list[str] = []
    for word in text.split():
        if broken and width(f"{broken[-1]} {word}", face, size) <= room:
            broken[-1] += f" {word}"
        elif split_words:
            broken += _split(word, face, size, room)
        else:
            broken.append(word)
    return broken


def _split(word: str, face: str, size: float, room: float) -> list[str]:
    """The word in pieces that fit the room, a hyphen at the end of all but the last."""
    pieces = [""]
    for letter in word:
        if len(pieces[-1]) > 1 and width(f"{pieces[-1]}{letter}-", face, size) > room:
            pieces[-1] += "-"
            pieces.append("")
        pieces[-1] += letter
    return pieces


def _drawn(text: str, face: str) -> str:
    known = load(face).face.charToGlyph
    one_line = " ".join(unicodedata.normalize("NFC", text).split())
    return "".join(_drawn_letter(letter, known) for letter in one_line)


def _drawn_letter(letter: str, known: dict[int, int]) -> str:
    if unicodedata.category(letter) in {"Cc", "Cf", "Cs", "Zl", "Zp"}:
        return ""
    if unicodedata.bidirectional(letter) in _RIGHT_TO_LEFT:
        return MISSING
    if ord(letter) in known:
        return letter
    plain = unicodedata.normalize("NFKD", letter)[0]
    return plain if ord(plain) in known else MISSING
