"""Labels drawn onto sheets: a PDF of vectors and embedded type, black on white."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import BinaryIO, Final

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from walkabout.errors import BadInput
from walkabout.tags import faces
from walkabout.tags.captions import caption
from walkabout.tags.codes import shown
from walkabout.tags.layout import Layout, layout
from walkabout.tags.sheets import Sheet
from walkabout.tags.symbols import QUIET_ZONE, Symbol, plain_address, symbol

_RULE: Final = 0.3  # mm, the line below the code
_RULE_DROP: Final = 1.5  # from the top of the code to the line, in heights of its capitals


@dataclass(frozen=True, slots=True)
class Label:
    """What one label says.

    Attributes:
        code: canonical code of seven letters.
        address: as symbols.address_for makes it.
        plant, cultivar: the grower's name for the plant and what it is; either may be empty.
    """

    code: str
    address: str
    plant: str = ""
    cultivar: str = ""


def draw(labels: Sequence[Label], sheet: Sheet, out: BinaryIO, *, start_at: int = 1) -> int:
    """Draw labels onto as many pages as they need, as a PDF.

    Args:
        labels: in the order in which they are wanted on the sheet.
        sheet: the stock of labels.
        out: where the PDF is written.
        start_at: first label of the first page to use, from 1, so that a begun sheet can be used up.

    Returns:
        The number of pages.

    Raises:
        BadInput: no labels, a start that the sheet has not, labels too small, or an unfit address.
    """
    if not labels:
        raise BadInput("There are no tags to print. Add plants first, then print their tags.")
    if not 1 <= start_at <= sheet.labels:
        raise BadInput(
            f"The sheet {sheet.name} has labels 1 to {sheet.labels}, not {start_at}. Choose one of them.",
            field="start_at",
        )
    places = layout(sheet)
    canvas = Canvas(out, pagesize=(sheet.page_width * mm, sheet.page_height * mm), pageCompression=1)
    canvas.setTitle("Tags")
    canvas.setViewerPreference("PrintScaling", "None")  # print at 100 %, ISO 32000-1, table 150
    pages = 0
    for page, places_and_labels in groupby(_placed(labels, sheet, start_at), key=lambda placed: placed[0]):
        for _, left, bottom, label in places_and_labels:
            canvas.saveState()
            canvas.translate(left * mm, bottom * mm)
            _draw_label(canvas, places, label)
            canvas.restoreState()
        canvas.showPage()
        pages = page + 1
    canvas.save()
    return pages


def gaps(labels: Iterable[Label]) -> list[str]:
    """Names of plants and cultivars that hold characters which the tags' type cannot draw."""
    wanted = [
        (text, face)
        for label in labels
        for text, face in ((label.plant, faces.NAME_FACE), (label.cultivar, faces.TEXT_FACE))
    ]
    return [text for text, face in wanted if faces.has_gaps(text, face)]


def _placed(
    labels: Sequence[Label], sheet: Sheet, start_at: int
) -> Iterator[tuple[int, float, float, Label]]:
    """Page number and lower left corner in mm, from the page's, of each label."""
    places = list(sheet.places())
    for number, label in enumerate(labels, start=start_at - 1):
        page, place = divmod(number, len(places))
        left, top = places[place]
        yield page, left, sheet.page_height - top - sheet.label_height, label


def _draw_label(canvas: Canvas, places: Layout, label: Label) -> None:
    _draw_symbol(canvas, places, symbol(label.address))
    _write(
        canvas,
        faces.CODE_FACE,
        places.code_size,
        places.column,
        places.symbol_top - places.capitals,
        shown(label.code),
    )
    rule = places.symbol_top - places.capitals * _RULE_DROP
    canvas.rect(places.column * mm, rule * mm, places.column_width * mm, _RULE * mm, stroke=0, fill=1)
    room = rule - places.symbol_bottom
    for line in caption(label.plant, label.cultivar, places.name_size, places.column_width, room):
        _write(canvas, line.face, line.size, places.column, rule - line.drop, line.text)
    address = faces.shortened(
        plain_address(label.address), faces.TEXT_FACE, places.foot_size, places.foot_width
    )
    _write(canvas, faces.TEXT_FACE, places.foot_size, places.foot_left, places.foot, address)


def _draw_symbol(canvas: Canvas, places: Layout, drawn: Symbol) -> None:
    """Each dark run of a row is one rectangle, all of them one filled path: no hairlines between fills."""
    module = places.box / (drawn.modules + 2 * QUIET_ZONE)
    canvas.saveState()
    canvas.translate(
        QUIET_ZONE * module * mm, (places.box_bottom + (QUIET_ZONE + drawn.modules) * module) * mm
    )
    canvas.scale(module * mm, -module * mm)
    path = canvas.beginPath()
    for y, row in enumerate(drawn.rows):
        for x, length in _dark_runs(row):
            path.rect(x, y, length, 1)
    canvas.drawPath(path, stroke=0, fill=1)
    canvas.restoreState()


def _dark_runs(row: Sequence[bool]) -> Iterator[tuple[int, int]]:
    """Start and length of each run of dark modules."""
    start = 0
    for dark, run in groupby(row):
        length = len(list(run))
        if dark:
            yield start, length
        start += length


def _write(canvas: Canvas, face: str, size: float, left: float, base: float, text: str) -> None:
    faces.load(face)
    canvas.setFont(face, size * mm)
    canvas.drawString(left * mm, base * mm, text)
