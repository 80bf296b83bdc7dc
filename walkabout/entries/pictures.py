"""A picture made anew: whatever came is drawn on a fresh canvas, and nothing else of the file goes on.

So no place, no serial number, no comment and no hidden tail of a file is kept. Colours are taken as sRGB.
"""

import io
import re
import threading
from contextlib import suppress

from PIL import Image, ImageOps, UnidentifiedImageError

from walkabout.entries.texts import gettext as _
from walkabout.errors import BadInput
from walkabout.records.photos import Picture

FORMATS = ("JPEG", "PNG", "WEBP")
LONGEST_SIDE = 2048  # pixels of what is kept
MOST_THUMB_BYTES = 20_000
# Opened, a picture takes 3 or 4 bytes a pixel. A large JPEG is opened at a fraction of its size.
MOST_PIXELS = 16_000_000
MOST_JPEG_PIXELS = 120_000_000
# A JPEG may say every pixel many times over (ITU-T T.81, progressive mode); cameras and programs use about ten scans.
MOST_SCANNED_PIXELS = 1_500_000_000
_SCAN = re.compile(
    rb"\xff\xda"
)  # cannot stand within what is scanned: there FF is followed by 00 or a restart
_QUALITY = 86
_THUMB_SIDES = (320, 240, 160, 96)  # pixels; shown 88 CSS pixels wide, of which a phone makes three each
_THUMB_QUALITIES = (78, 66, 54, 42, 30)
# Pillow's own guard: it warns above this, and refuses above twice as many.
Image.MAX_IMAGE_PIXELS = MOST_JPEG_PIXELS
# One at a time: then it is known how much memory pictures take.
_one_at_a_time = threading.Lock()


def remade(sent: bytes) -> Picture:
    """The picture of a file, upright, at most LONGEST_SIDE long, with a small one for lists.

    Args:
        sent: a file; a JPEG, PNG or WebP picture is taken.

    Raises:
        BadInput: it is none of these, damaged, or too large to be opened; the message is for the person who sent it.
    """
    with _one_at_a_time:
        try:
            canvas = _drawn(sent)
        except BadInput:
            raise
        except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
            raise _too_large() from error
        except Exception as error:  # Pillow has no one word for a damaged file
            raise BadInput(
                _(
                    "This photo is damaged or was cut off, so it is not kept. "
                    "Everything else is as you left it. Add the photo again, or another one."
                )
            ) from error
        return Picture(_jpeg(canvas, _QUALITY), _thumb(canvas), *canvas.size)


def _drawn(sent: bytes) -> Image.Image:
    """What the file shows on a canvas of our own."""
    try:
        opened = Image.open(io.BytesIO(sent), formats=FORMATS)
    except UnidentifiedImageError as error:
        raise BadInput(
            _(
                "This is no JPEG, PNG or WebP picture, so it is not kept. "
                "Everything else is as you left it. Add the photo as a JPEG."
            )
        ) from error
    with opened as image:
        _must_be_bearable(image, sent)
        image.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))  # a JPEG is then opened no larger than needed
        with suppress(Exception):  # what the file says of its own position may be damaged; the picture is not
            ImageOps.exif_transpose(image, in_place=True)
        image.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
        seen = image.convert("RGBA") if image.has_transparency_data else image.convert("RGB")
        canvas = Image.new("RGB", seen.size, "white")
        canvas.paste(seen, mask=seen if seen.mode == "RGBA" else None)
        return canvas


def _must_be_bearable(image: Image.Image, sent: bytes) -> None:
    """Only the head of the file has been read so far."""
    pixels = image.width * image.height
    jpeg = image.format == "JPEG"
    if pixels > (MOST_JPEG_PIXELS if jpeg else MOST_PIXELS):
        raise _too_large()
    if jpeg and pixels * len(_SCAN.findall(sent)) > MOST_SCANNED_PIXELS:
        raise _too_large()


def _too_large() -> BadInput:
    words = _(
        "This photo is too large to be opened here: at most %(jpeg)d million pixels as a JPEG, %(other)d million else. "
        "It is not kept; everything else is as you left it. Add a smaller copy of it.",
        jpeg=MOST_JPEG_PIXELS // 1_000_000,
        other=MOST_PIXELS // 1_000_000,
    )
    return BadInput(words)


def _thumb(canvas: Image.Image) -> bytes:
    for side in _THUMB_SIDES:
        small = canvas.copy()
        small.thumbnail((side, side), Image.Resampling.LANCZOS)
        for quality in _THUMB_QUALITIES:
            made = _jpeg(small, quality)
            if len(made) <= MOST_THUMB_BYTES:
                return made
    raise AssertionError("a picture of so few pixels is small")


def _jpeg(image: Image.Image, quality: int) -> bytes:
    file = io.BytesIO()
    image.save(file, "JPEG", quality=quality)
    return file.getvalue()
