"""Layout on labels of other sizes than the shipped ones; sizes are this project's own choice, no source."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkabout.errors import BadInput
from walkabout.tags import faces
from walkabout.tags.layout import Layout, layout
from walkabout.tags.sheets import Sheet, sheet

A4 = sheet("a4-3x7-63x38")


def one_label(width: float, height: float) -> Sheet:
    """A sheet of a single label that fills its page."""
    return replace(
        A4, name="one", page_width=width, page_height=height, label_width=width, label_height=height,
        columns=1, rows=1, left=0.0, top=0.0,
    )  # fmt: skip


def code_width(places: Layout) -> float:
    return faces.width("WWW-WWWW", faces.CODE_FACE, places.code_size)


def test_the_code_fills_its_column_and_is_always_equally_wide() -> None:
    places = layout(A4)
    assert code_width(places) == pytest.approx(places.column_width)
    assert code_width(places) == pytest.approx(faces.width("111-1111", faces.CODE_FACE, places.code_size))


def test_on_a_narrow_label_the_symbol_gives_way_and_the_code_does_not() -> None:
    wide, narrow = layout(one_label(63.5, 38.1)), layout(one_label(52.0, 38.1))
    assert narrow.box < wide.box
    assert narrow.capitals == pytest.approx(4.0)
    assert narrow.column + code_width(narrow) <= 52.0 - 1.5


@pytest.mark.parametrize(("width", "height"), [(45.0, 38.1), (63.5, 20.0), (10.0, 10.0)])
def test_labels_too_small_for_both_are_refused(width: float, height: float) -> None:
    with pytest.raises(BadInput, match="too small"):
        layout(one_label(width, height))


@given(st.floats(20, 200), st.floats(15, 200))
def test_nothing_overlaps_on_any_label(width: float, height: float) -> None:
    try:
        places = layout(one_label(width, height))
    except BadInput:
        return
    assert places.module >= 0.55
    assert places.capitals >= 4.0 - 1e-9
    # ISO/IEC 18004: four modules of white, on the label and between symbol and all text.
    quiet = 4 * places.module
    assert places.symbol_top + quiet <= height + 1e-9
    assert places.symbol_bottom - quiet >= places.foot + faces.ASCENDER * places.foot_size
    assert places.column >= quiet + 29 * places.module + quiet - 1e-9
    assert places.column + code_width(places) <= width - 1.5
    assert places.foot - faces.DESCENDER * places.foot_size >= 1.5
    assert places.foot_left + places.foot_width <= width - 1.5
