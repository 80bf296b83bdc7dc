"""Pictures for the tests, drawn by program, and a reader of what a JPEG file holds besides its picture."""

from __future__ import annotations

import io
import random
from typing import Any

from PIL import Image

# EXIF tags (CIPA DC-008, "Exchangeable image file format"): orientation, camera maker, GPS block with latitude.
ORIENTATION, MAKER, GPS = 0x0112, 0x010F, 0x8825
SECRET = b"Rue des Figuiers 7"


def picture(
    width: int = 640,
    height: int = 480,
    kind: str = "JPEG",
    *,
    colour: str = "#5f8f3e",
    noise: bool = False,
    orientation: int = 1,
    told: bool = False,
    **options: Any,
) -> bytes:
    """A picture file: a colour with a red corner at the top left.

    Args:
        noise: fill it with what no compression makes small.
        orientation: as EXIF says it; the corner is at the top left of what is stored, not of what is seen.
        told: whether the file tells where and with what it was taken, in EXIF, XMP, a comment and a tail.
    """
    image = Image.new("RGB", (width, height), colour)
    if noise:
        chance = random.Random(7)
        image = Image.frombytes("RGB", (width, height), chance.randbytes(width * height * 3))
    image.paste("#d01010", (0, 0, width // 4, height // 4))
    file = io.BytesIO()
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    if told:
        exif[MAKER] = SECRET.decode()
        exif.get_ifd(GPS).update({1: "N", 2: (48.0, 12.0, 30.0), 3: "E", 4: (11.0, 30.0, 0.0)})
        options.update(comment=SECRET, xmp=b"<x:xmpmeta>" + SECRET + b"</x:xmpmeta>")
        if kind != "JPEG":
            options.pop("comment")
    image.save(file, kind, exif=exif, **options)
    return file.getvalue() + (SECRET if told else b"")


def segments(jpeg: bytes) -> list[tuple[str, bytes]]:
    """The marker segments of a JPEG file before its scan, by name, and what follows its end (ITU-T T.81, annex B)."""
    assert jpeg[:2] == b"\xff\xd8", "no start of image"
    found: list[tuple[str, bytes]] = []
    place = 2
    while True:
        assert jpeg[place] == 0xFF
        marker = jpeg[place + 1]
        length = int.from_bytes(jpeg[place + 2 : place + 4], "big")
        content = jpeg[place + 4 : place + 2 + length]
        name = f"APP{marker - 0xE0}" if 0xE0 <= marker <= 0xEF else {0xFE: "COM"}.get(marker, f"{marker:02X}")
        found.append((name, content))
        place += 2 + length
        if marker == 0xDA:  # start of scan: the rest is the picture
            break
    end = jpeg.index(b"\xff\xd9", place) + 2  # inside a scan FF is followed by 00 or a restart
    if jpeg[end:]:
        found.append(("tail", jpeg[end:]))
    return found


def only_a_picture(jpeg: bytes) -> bool:
    """Whether a JPEG file holds its picture and the JFIF head, and nothing that could tell more."""
    told = [one for one in segments(jpeg) if one[0].startswith(("APP", "COM", "tail"))]
    return [name for name, _ in told] == ["APP0"] and told[0][1].startswith(b"JFIF\0")


def opened(file: bytes) -> Image.Image:
    """The picture of a file."""
    image = Image.open(io.BytesIO(file))
    image.load()
    return image
