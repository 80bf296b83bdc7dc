"""Label stocks: the figures of the shipped files, and what is refused."""

from pathlib import Path

import pytest

from walkabout.assets import LABELS
from walkabout.errors import BadInput
from walkabout.tags.sheets import sheet, sheet_names

GOOD = (LABELS / "a4-3x7-63x38.toml").read_text(encoding="utf-8")


def test_every_shipped_sheet_closes() -> None:
    assert sheet_names() == ("a4-3x7-63x38", "letter-2x5-4x2")
    for name in sheet_names():
        stock = sheet(name)
        places = list(stock.places())
        assert len(places) == stock.labels
        right, bottom = places[-1][0] + stock.label_width, places[-1][1] + stock.label_height
        # Grids of this kind lie in the middle of the page, common practice, no source.
        assert right + stock.left == pytest.approx(stock.page_width, abs=0.1)
        assert bottom + stock.top == pytest.approx(stock.page_height, abs=0.1)


def test_a4_is_iso_216_and_letter_is_ansi_a() -> None:
    # ISO 216: A4 is 210 x 297 mm. ANSI/ASME Y14.1: size A is 8.5 x 11 in, at 25.4 mm the inch.
    a4, letter = sheet("a4-3x7-63x38"), sheet("letter-2x5-4x2")
    assert (a4.page_width, a4.page_height, a4.labels) == (210, 297, 21)
    assert (letter.page_width, letter.page_height) == pytest.approx((215.9, 279.4))
    assert (letter.label_width, letter.label_height) == pytest.approx((101.6, 50.8))


def test_labels_run_row_by_row_from_the_top_left() -> None:
    places = list(sheet("a4-3x7-63x38").places())
    assert places[0] == (7.25, 15.15)
    assert places[1] == (73.25, 15.15)
    assert places[3] == pytest.approx((7.25, 53.25))


def test_an_unknown_sheet_is_answered_with_those_that_are_known() -> None:
    with pytest.raises(BadInput, match="a4-3x7-63x38, letter-2x5-4x2"):
        sheet("a4")
    with pytest.raises(BadInput, match="No label sheet"):
        sheet("../labels/a4-3x7-63x38")


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        ("x = 66.0", "x = 60.0", "overlap across"),
        ("y = 38.1 }", "y = 38.0 }", "overlap down"),
        ("left = 7.25", "left = 20.0", r"reach 5.50 mm over the page, across"),
        ("rows = 7", "rows = 8", "over the page, down"),
        ("rows = 7", "rows = 0", "no labels down"),
        ("rows = 7", "rows = 1.5", "whole numbers"),
        ("width = 63.5", "width = 0", "no labels across"),
        ('unit = "mm"', 'unit = "pt"', "unit is"),
        ("width = 63.5", 'width = "wide"', "cannot be read"),
        (", corner = 1.5", "", "label needs corner, height, width"),
        ("pitch =", "pitches =", "'pitch'"),
        ("title", "title = ", "cannot be read"),
    ],
)
def test_figures_that_do_not_close_are_refused(tmp_path: Path, right: str, wrong: str, told: str) -> None:
    assert right in GOOD
    settings = GOOD[GOOD.index("title = ") :].replace(right, wrong, 1)
    (tmp_path / "bad.toml").write_text(settings, encoding="utf-8")
    with pytest.raises(BadInput, match=told):
        sheet("bad", tmp_path)
