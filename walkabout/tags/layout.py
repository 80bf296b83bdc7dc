"""Where things stand on a label of a given size. Lengths in mm, from the label's lower left corner.

+--------------------------------+
|  #########   K7M-4Q24          |   the symbol as large as fits, its quiet zone white,
|  #########   ---------------   |   the code beside it in capitals of 4 mm or more,
|  #########   Old gate fig      |   the plant and its cultivar below the code,
|  #########   Brown Turkey      |   the plain address along the foot
|  https://orchard.example/T/... |
+--------------------------------+
"""

from dataclasses import dataclass
from typing import Final

from walkabout.errors import BadInput
from walkabout.tags import faces
from walkabout.tags.codes import LETTERS
from walkabout.tags.sheets import Sheet
from walkabout.tags.symbols import LARGEST_VERSION, QUIET_ZONE

INK_MARGIN: Final = 1.8
"""White along every edge: die-cut labels and printers drift by 1 mm and more (common practice)."""
SMALLEST_MODULE: Final = 0.55
"""Below this a tag outdoors is read from too near only (own choice, from a simulation)."""
SMALLEST_CAPITALS: Final = 4.0
LARGEST_CAPITALS: Final = 8.0
_FOOT_SIZE: Final = 2.2  # type size of the address, about 6 pt
_FOOT_SHARE: Final = 0.052  # of the label's height, on larger labels
_NAME_SHARE: Final = 0.11  # of the label's height
_GAP: Final = 0.4
_SIDE: Final = 17 + 4 * LARGEST_VERSION  # modules of the largest symbol (ISO/IEC 18004)


@dataclass(frozen=True, slots=True)
class Layout:
    """Places and sizes on every label of a sheet.

    Attributes:
        box_bottom, box: lower edge and side of the square of symbol and quiet zone, flush left.
        column: left edge of the texts beside it; column_width: their room.
        code_size: type size of the code; capitals: height of its capitals.
        name_size: type size of the plant's name where there is room.
        foot, foot_size, foot_left, foot_width: base line, type size, left edge and room of the address.
    """

    box_bottom: float
    box: float
    column: float
    column_width: float
    code_size: float
    capitals: float
    name_size: float
    foot: float
    foot_size: float
    foot_left: float
    foot_width: float

    @property
    def module(self) -> float:
        """Side of one module of a version 3 symbol."""
        return self.box / (_SIDE + 2 * QUIET_ZONE)

    @property
    def symbol_top(self) -> float:
        """Upper edge of the ink of a version 3 symbol."""
        return self.box_bottom + self.box - QUIET_ZONE * self.module

    @property
    def symbol_bottom(self) -> float:
        """Lower edge of the ink of a version 3 symbol."""
        return self.box_bottom + QUIET_ZONE * self.module


def layout(sheet: Sheet) -> Layout:
    """The layout for the labels of this sheet.

    Raises:
        BadInput: the labels are too small for a readable symbol beside a readable code.
    """
    foot_size = max(_FOOT_SIZE, _FOOT_SHARE * sheet.label_height)
    foot = INK_MARGIN + faces.DESCENDER * foot_size
    foot_top = foot + faces.ASCENDER * foot_size + _GAP
    # The width of the code in type sizes: all letters of the code's face are equally wide.
    code_widths = faces.width("0" * (LETTERS + 1), faces.CODE_FACE, 1.0)
    narrowest_column = code_widths * SMALLEST_CAPITALS / faces.CAP_HEIGHT
    box = min(sheet.label_height - foot_top, sheet.label_width - narrowest_column - INK_MARGIN)
    if box / (_SIDE + 2 * QUIET_ZONE) < SMALLEST_MODULE:
        raise BadInput(
            f"The labels of sheet {sheet.name} are too small for a symbol and a code that can be read outdoors. "
            "Choose larger labels.",
            field="sheet",
        )
    column_width = sheet.label_width - box - INK_MARGIN
    capitals = min(column_width / code_widths * faces.CAP_HEIGHT, LARGEST_CAPITALS)
    return Layout(
        box_bottom=foot_top + (sheet.label_height - foot_top - box) / 2,
        box=box,
        column=box,
        column_width=column_width,
        code_size=capitals / faces.CAP_HEIGHT,
        capitals=capitals,
        name_size=_NAME_SHARE * sheet.label_height,
        foot=foot,
        foot_size=foot_size,
        foot_left=box * QUIET_ZONE / (_SIDE + 2 * QUIET_ZONE),
        foot_width=sheet.label_width - INK_MARGIN - box * QUIET_ZONE / (_SIDE + 2 * QUIET_ZONE),
    )
