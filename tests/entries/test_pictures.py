"""A picture made anew: nothing of the file goes on but what is seen, and no file takes more than can be borne."""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from tests.photographs import GPS, MAKER, SECRET, only_a_picture, opened, picture, segments
from walkabout.entries.pictures import LONGEST_SIDE, MOST_THUMB_BYTES, remade
from walkabout.errors import BadInput


def bomb(width: int, height: int) -> bytes:
    """A PNG of one colour and a bit a pixel (W3C Portable Network Graphics, 2003): a few kilobytes for any size."""

    def chunk(kind: bytes, content: bytes) -> bytes:
        return (
            struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))
        )

    row = b"\0" * (1 + (width + 7) // 8)
    deflate = zlib.compressobj(9)
    rows = b"".join(deflate.compress(row) for _ in range(height)) + deflate.flush()
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def many_scans(count: int) -> bytes:
    """A progressive JPEG whose last scan is said again and again."""
    sent = picture(4000, 3000, progressive=True)
    last = sent[sent.rindex(b"\xff\xda") : -2]
    return sent[:-2] + last * count + b"\xff\xd9"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_is_kept_of_where_and_with_what_it_was_taken(kind: str) -> None:
    sent = picture(kind=kind, told=True)
    exif = opened(sent).getexif()
    assert exif[MAKER].encode() == SECRET
    assert exif.get_ifd(GPS)[2] == (48, 12, 30)
    made = remade(sent)
    for file in (made.kept, made.thumb):
        assert only_a_picture(file)
        assert SECRET not in file
        assert b"Exif" not in file
        assert not opened(file).getexif()
        assert set(opened(file).info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_the_reader_of_the_tests_sees_what_would_tell_more() -> None:
    assert [name for name, _ in segments(picture(told=True)) if name.startswith(("APP", "COM", "tail"))] == [
        "APP0", "APP1", "APP1", "COM", "tail"
    ]  # fmt: skip
    assert not only_a_picture(picture(comment=b"x"))
    assert only_a_picture(picture(orientation=1)) is False


@pytest.mark.parametrize(
    ("orientation", "corner"),
    # Where what is stored at the top left is seen: CIPA DC-008, tag Orientation.
    [(1, "top left"), (3, "bottom right"), (6, "top right"), (8, "bottom left")],
)
def test_it_stands_upright(orientation: int, corner: str) -> None:
    made = opened(remade(picture(600, 400, orientation=orientation)).kept)
    assert made.size == ((600, 400) if orientation in (1, 3) else (400, 600))
    x = 20 if "left" in corner else made.width - 20
    y = 20 if "top" in corner else made.height - 20
    red, green, blue = made.getpixel((x, y))  # type: ignore[misc]
    assert red > 180
    assert max(green, blue) < 60


@pytest.mark.parametrize(
    ("size", "kept"),
    [
        ((640, 480), (640, 480)),
        ((4096, 1024), (2048, 512)),
        ((1500, 3000), (1024, 2048)),
        ((5000, 1), (2048, 1)),
    ],
)
def test_it_is_made_no_larger_and_at_most_so_long(size: tuple[int, int], kept: tuple[int, int]) -> None:
    made = remade(picture(*size))
    assert (made.width, made.height) == opened(made.kept).size == kept
    assert max(made.width, made.height) <= LONGEST_SIDE


def test_an_original_of_100_million_pixels_is_taken() -> None:
    made = remade(picture(12_000, 8_400))
    assert (made.width, made.height) == (2048, 1434)


@pytest.mark.parametrize("size", [(320, 320), (2048, 2048), (2048, 300), (40, 40), (1, 1)])
def test_the_small_one_is_small(size: tuple[int, int]) -> None:
    small = remade(picture(*size, noise=True)).thumb
    assert len(small) <= MOST_THUMB_BYTES
    assert max(opened(small).size) <= 320


def test_what_is_transparent_becomes_white() -> None:
    file = io.BytesIO()
    Image.new("RGBA", (50, 50), (200, 0, 0, 0)).save(file, "PNG")
    assert opened(remade(file.getvalue()).kept).getpixel((25, 25)) == (255, 255, 255)


@pytest.mark.parametrize("mode", ["1", "L", "P", "CMYK", "RGBA", "LA", "I;16"])
def test_every_way_of_saying_colours_is_read(mode: str) -> None:
    file = io.BytesIO()
    Image.new(mode, (60, 40)).save(file, "JPEG" if mode == "CMYK" else "PNG")
    assert opened(remade(file.getvalue()).kept).mode == "RGB"


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        (b"", "no JPEG, PNG or WebP"),
        (b"not a picture", "no JPEG, PNG or WebP"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no JPEG, PNG or WebP"),
        # ISO/IEC 23008-12: the brand of a HEIC file.
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(200), "no JPEG, PNG or WebP"),
        (picture(kind="GIF"), "no JPEG, PNG or WebP"),
        (picture(kind="TIFF"), "no JPEG, PNG or WebP"),
        (picture()[:-1000], "damaged or was cut off"),
        (picture(kind="PNG")[:-40], "damaged or was cut off"),
        (bomb(11_000, 11_000), "too large to be opened"),
        (bomb(14_000, 14_000), "too large to be opened"),
        (bomb(65_000, 65_000), "too large to be opened"),
        (bomb(4_001, 4_000), "too large to be opened"),
        (many_scans(200), "too large to be opened"),
    ],
    ids=["empty", "words", "svg", "heic", "gif", "tiff", "cut jpeg", "cut png", "bomb", "larger bomb", "largest bomb",
         "just too large", "many scans"],
)  # fmt: skip
def test_what_cannot_be_opened_is_refused_with_words(sent: bytes, words: str) -> None:
    with pytest.raises(BadInput, match=words) as refusal:
        remade(sent)
    assert "everything else is as you left it" in refusal.value.message.lower()


@given(st.integers(0, 5000), st.binary(min_size=1, max_size=8), st.sampled_from(["JPEG", "PNG", "WEBP"]))
def test_a_spoilt_file_is_drawn_or_refused(place: int, spoilt: bytes, kind: str) -> None:
    sent = bytearray(picture(64, 48, kind))
    place %= len(sent)
    sent[place : place + len(spoilt)] = spoilt
    try:
        made = remade(bytes(sent))
    except BadInput:
        return
    assert only_a_picture(made.kept)
