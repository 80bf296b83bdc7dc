"""What the tags' typefaces draw. Normal forms: Unicode Standard Annex 15; direction: Annex 9."""

import pytest

from walkabout.tags import faces
from walkabout.tags.codes import ALPHABET

FACES = (faces.CODE_FACE, faces.NAME_FACE, faces.TEXT_FACE)


@pytest.mark.parametrize("face", FACES)
def test_codes_and_latin_greek_and_cyrillic_names_are_drawn(face: str) -> None:
    for text in (ALPHABET, "Köstliche", "Švestka", "Śliwa", "Kırmızı", "Ελιά", "Яблоня", "½ ’ – … ×"):
        assert faces.drawable(text, face) == text
        assert not faces.has_gaps(text, face)


@pytest.mark.parametrize(
    ("text", "drawn"),
    [
        ("Cafe\u0301", "Caf\u00e9"),  # Annex 15: composed where a composed letter exists
        ("two\nlines\tand  spaces ", "two lines and spaces"),
        ("a\x00b\u202ec\u200bd\ud800", "abcd"),
        ("\uff26\uff49\uff47", "Fig"),  # full-width letters have plain ones beneath (Annex 15, NFKD)
        ("Pear \U0001f333", "Pear \u25a1"),
        ("x \u05d0", "x \u25a1"),  # right to left is not set (Annex 9)
        ("\u6e29\u5dde", ""),  # nothing of it can be drawn: the place stays free
        ("", ""),
    ],
)
def test_what_the_faces_lack(text: str, drawn: str) -> None:
    assert faces.drawable(text, faces.NAME_FACE) == drawn


def test_gaps_are_told_even_where_nothing_is_drawn() -> None:
    assert faces.has_gaps("\u6e29\u5dde", faces.NAME_FACE)
    assert faces.has_gaps("Pear \U0001f333", faces.NAME_FACE)
    assert not faces.has_gaps("", faces.NAME_FACE)


def test_shortening_keeps_what_fits() -> None:
    face, size = faces.TEXT_FACE, 3.0
    room = faces.width("Brown Turk…", face, size)
    assert faces.shortened("Brown Turkey", face, size, room) == "Brown Turk…"
    assert faces.shortened("Brown Turkey", face, size, 100.0) == "Brown Turkey"
    assert faces.shortened("Brown Turkey", face, size, faces.width("Brown …", face, size)) == "Brown…"


@pytest.mark.parametrize("face", FACES)
def test_the_height_of_capitals_is_that_of_the_outlines(face: str) -> None:
    # DejaVu 2.37: the outline of H ends at 1493 of 2048 units in each of the three faces.
    font = faces.load(face).face
    glyph = font.charToGlyph[ord("H")]
    outlines = font.get_table("glyf")
    top = int.from_bytes(outlines[font.glyphPos[glyph] + 8 :][:2], "big", signed=True)
    assert top / 2048 == pytest.approx(faces.CAP_HEIGHT)
