"""Printed sheets read back: pages as pictures, labels cut out of them, symbols by two decoders.

zxing-cpp reads whole pages and single tags; zbar, another algorithm, is asked for single tags, because
it is no judge of whole sheets (it loses a few of many symbols on a page).
"""

from io import BytesIO
from itertools import groupby

import pypdfium2
import zxingcpp
from PIL import Image
from pyzbar import pyzbar

from walkabout.tags.labels import Label, draw
from walkabout.tags.sheets import Sheet

MM_PER_INCH = 25.4


def printed(labels: list[Label], sheet: Sheet, start_at: int = 1) -> bytes:
    out = BytesIO()
    draw(labels, sheet, out, start_at=start_at)
    return out.getvalue()


def pictures(pdf: bytes, dpi: int) -> list[Image.Image]:
    """Every page in grey, as a printer of that resolution would see it."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [page.render(scale=dpi / 72).to_pil().convert("L") for page in document]
    finally:
        document.close()


def crops(page: Image.Image, sheet: Sheet, dpi: int) -> list[Image.Image]:
    """The labels of a page, cut along their edges."""
    dots = dpi / MM_PER_INCH
    return [
        page.crop(
            (
                round(left * dots),
                round(top * dots),
                round((left + sheet.label_width) * dots),
                round((top + sheet.label_height) * dots),
            )
        )
        for left, top in sheet.places()
    ]


def texts_on(page: Image.Image) -> list[str]:
    """The texts of all symbols on a page, by zxing-cpp, sorted."""
    return sorted(found.text for found in zxingcpp.read_barcodes(page, formats=zxingcpp.BarcodeFormat.QRCode))


def text_by_zbar(tag: Image.Image) -> list[str]:
    """The texts of the symbols on a single tag, by zbar."""
    return [found.data.decode() for found in pyzbar.decode(tag, symbols=[pyzbar.ZBarSymbol.QRCODE])]


def ink(picture: Image.Image) -> Image.Image:
    """The same picture with 255 where it is not white, and 0 elsewhere."""
    return picture.point([255 if grey < 250 else 0 for grey in range(256)])


def reaches(marked: Image.Image) -> tuple[int, int, int, int]:
    """White dots left of, above, right of and below all ink."""
    box = marked.getbbox()
    assert box is not None, "no ink"
    return box[0], box[1], marked.width - box[2], marked.height - box[3]


def runs_down(marked: Image.Image, left: int = 0, right: int | None = None) -> list[tuple[int, int]]:
    """First row and row after the last of each stretch of rows that hold ink between two columns."""
    strip = marked.crop((left, 0, marked.width if right is None else right, marked.height))
    dots = strip.tobytes()
    rows = [any(dots[at : at + strip.width]) for at in range(0, len(dots), strip.width)]
    runs, row = [], 0
    for dark, stretch in groupby(rows):
        end = row + len(list(stretch))
        if dark:
            runs.append((row, end))
        row = end
    return runs
