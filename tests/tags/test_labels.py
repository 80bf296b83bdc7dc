"""Label sheets: rastered as a printer would, every symbol decoded, distances measured in the picture.

Sources: quiet zone of four modules and module counts, ISO/IEC 18004. Capitals of 4 mm, modules of
0.9 mm on these stocks and 1.5 mm of white along every edge: this project's own choice, no source.
"""

import random
import re
from io import BytesIO

import pypdfium2
import pytest
from pypdfium2 import raw

from tests.tags.sheets_read import (
    MM_PER_INCH,
    crops,
    ink,
    pictures,
    printed,
    reaches,
    runs_down,
    text_by_zbar,
    texts_on,
)
from walkabout.errors import BadInput
from walkabout.tags.codes import make_code, shown
from walkabout.tags.labels import Label, draw, gaps
from walkabout.tags.layout import layout
from walkabout.tags.sheets import sheet, sheet_names
from walkabout.tags.symbols import address_for, symbol

# Invented names, some of them hard to set.
NAMES = [
    ("Old gate fig", "Brown Turkey"),
    ("Row 3, tree 14", ""),
    ("", ""),
    ("", "Owari"),
    ("Grandmother’s mandarin by the south wall of the old pump house, second from the left", "Owari satsuma"),
    ("Donaudampfschifffahrtskapitänsbirne", "Köstliche aus Charneux auf Quitte veredelt"),
    ("W" * 200, "M" * 200),
    ("Švestka u plotu", "Domácí velkoplodá"),
    ("Ελιά της γιαγιάς", "Κορωνέικη"),
    ("Яблоня у бани", "Антоновка"),
    ("温州みかん", "青島"),
    ("שזיף", "برقوق"),
    ('<b onclick="x">&amp;</b>', "(a) \\ %s {0} 'quoted'"),
    ("Pear 🌳", "line\nbreak\ttab\x00\u202e\ud800"),
    ("Ảnh́́́́ cây", "H" + "\u0301" * 40),
]
ORIGINS = ["http://localhost:8480", "https://orchard.example.org", "https://" + "w" * 29]
QUIET_ZONE = 4  # modules, ISO/IEC 18004
A4 = sheet("a4-3x7-63x38")


def made(count: int) -> list[Label]:
    """That many labels, with each name and each origin in turn."""
    labels = []
    for number in range(count):
        code = make_code()
        plant, cultivar = NAMES[number % len(NAMES)]
        labels.append(Label(code, address_for(ORIGINS[number % len(ORIGINS)], code), plant, cultivar))
    return labels


@pytest.mark.parametrize("dpi", [150, 300])
@pytest.mark.parametrize("name", sheet_names())
def test_every_symbol_comes_back_from_the_sheets(name: str, dpi: int) -> None:
    stock = sheet(name)
    labels = made(50)
    pages = pictures(printed(labels, stock), dpi)
    assert len(pages) == -(-50 // stock.labels)
    for number, page in enumerate(pages):
        wanted = [label.address for label in labels[number * stock.labels : (number + 1) * stock.labels]]
        assert texts_on(page) == sorted(wanted)
        tags = crops(page, stock, dpi)[: len(wanted)]
        # Each tag alone, in its place, by either decoder.
        assert [texts_on(tag) for tag in tags] == [[address] for address in wanted]
        assert [text_by_zbar(tag) for tag in tags] == [[address] for address in wanted]


@pytest.mark.parametrize("name", sheet_names())
def test_all_ink_stays_inside_its_label(name: str) -> None:
    stock, dpi = sheet(name), 300
    (page,) = pictures(printed(made(stock.labels), stock), dpi)
    assert page.size == (
        pytest.approx(stock.page_width / MM_PER_INCH * dpi, abs=1),
        pytest.approx(stock.page_height / MM_PER_INCH * dpi, abs=1),
    )
    for tag in crops(page, stock, dpi):
        assert min(reaches(ink(tag))) / dpi * MM_PER_INCH >= 1.5
    # And none lies between or beside the labels.
    dots = dpi / MM_PER_INCH
    for left, top in stock.places():
        right, bottom = left + stock.label_width, top + stock.label_height
        page.paste(255, (round(left * dots), round(top * dots), round(right * dots), round(bottom * dots)))
    assert ink(page).getbbox() is None


@pytest.mark.parametrize("origin", [*ORIGINS, "https://h"])
@pytest.mark.parametrize("name", sheet_names())
def test_modules_and_quiet_zone_as_measured(name: str, origin: str) -> None:
    stock, dpi = sheet(name), 600
    dots = dpi / MM_PER_INCH
    address = address_for(origin, "K7M4Q24")
    (page,) = pictures(printed([Label("K7M4Q24", address, "W" * 99, "M" * 99)], stock), dpi)
    marked = ink(crops(page, stock, dpi)[0])
    modules = symbol(address).modules
    above_foot = marked.crop((0, 0, marked.width, round((stock.label_height - 4.6) * dots)))
    left = reaches(above_foot)[0]
    # The symbol's left edge begins and ends with a finder square, seven modules high.
    inner = left + round(0.3 * dots)
    runs = runs_down(above_foot, inner, inner + 1)
    top, side = runs[0][0], runs[-1][1] - runs[0][0]
    module = side / modules
    assert [(end - start) / module for start, end in (runs[0], runs[-1])] == pytest.approx([7, 7], abs=0.1)
    assert module / dots >= 0.9
    assert module / dots == pytest.approx(layout(stock).box / (modules + 2 * QUIET_ZONE), abs=0.01)
    # Four modules of white on all four sides, but for a dot lost to rounding, all of it on the label.
    quiet, edge = int(QUIET_ZONE * module) - 1, 2
    assert min(left, top) >= quiet
    around = marked.crop((left - quiet, top - quiet, left + side + quiet, top + side + quiet))
    around.paste(0, (quiet, quiet, quiet + side + edge, quiet + side + edge))
    assert around.getbbox() is None


@pytest.mark.parametrize("name", sheet_names())
def test_the_codes_capitals_are_four_millimetres_or_more(name: str) -> None:
    # Measured on H, whose top and foot are flat, at 600 dpi.
    stock, dpi = sheet(name), 600
    label = Label("HHHHHHH", address_for(ORIGINS[0], make_code()))
    marked = ink(crops(pictures(printed([label], stock), dpi)[0], stock, dpi)[0])
    first, last = runs_down(marked, round((layout(stock).column - 0.2) / MM_PER_INCH * dpi))[0]
    capitals = (last - first) / dpi * MM_PER_INCH
    assert capitals >= 4.0
    assert capitals == pytest.approx(layout(stock).capitals, abs=0.1)


def test_a_sheet_is_vectors_and_embedded_type_alone() -> None:
    pdf = printed(made(len(NAMES)), A4)
    document = pypdfium2.PdfDocument(pdf)
    kinds = {thing.type for page in document for thing in page.get_objects()}
    document.close()
    assert kinds == {raw.FPDF_PAGEOBJ_PATH, raw.FPDF_PAGEOBJ_TEXT}
    assert not re.search(rb"/Subtype\s*/Image", pdf)
    fonts = set(re.findall(rb"/BaseFont /(\S+)", pdf))
    embedded = {font for font in fonts if re.match(rb"[A-Z]{6}\+DejaVu", font)}
    # The PDF maker names its standard font in every file; no text is set in it.
    assert fonts - embedded <= {b"Helvetica"}
    assert len(re.findall(rb"/FontFile2", pdf)) >= 3


def test_everything_is_black_on_white() -> None:
    document = pypdfium2.PdfDocument(printed(made(21), A4))
    page = document[0].render(scale=2, no_smoothtext=True, no_smoothpath=True).to_pil().convert("RGB")
    document.close()
    assert {colour for _, colour in page.getcolors()} == {(0, 0, 0), (255, 255, 255)}


def test_code_name_cultivar_and_plain_address_are_there_to_read() -> None:
    code = make_code()
    label = Label(code, address_for("https://Orchard.Example.org", code), "Old gate fig", "Brown Turkey")
    document = pypdfium2.PdfDocument(printed([label], A4))
    text = document[0].get_textpage().get_text_bounded()
    document.close()
    assert text.split("\r\n") == [
        shown(code),
        "Old gate fig",
        "Brown Turkey",
        f"https://orchard.example.org/T/{code}",
    ]


def test_a_long_name_ends_in_an_ellipsis_and_leaves_room_for_the_cultivar() -> None:
    label = Label("K7M4Q24", address_for(ORIGINS[0], "K7M4Q24"), "very " * 60 + "old pear", "Comice")
    document = pypdfium2.PdfDocument(printed([label], A4))
    lines = document[0].get_textpage().get_text_bounded().split("\r\n")
    document.close()
    assert lines[0] == "K7M-4Q24"
    assert lines[-3].endswith("…")
    assert lines[-2] == "Comice"


def test_a_begun_sheet_is_used_up_from_the_label_asked_for() -> None:
    labels = made(3)
    pages = pictures(printed(labels, A4, start_at=20), 150)
    read = [[texts_on(tag) for tag in crops(page, A4, 150)] for page in pages]
    assert read[0][:19] == [[]] * 19
    assert read[0][19:] == [[labels[0].address], [labels[1].address]]
    assert read[1] == [[labels[2].address], *([[]] * 20)]


@pytest.mark.parametrize("start_at", [0, -1, 22])
def test_a_label_that_the_sheet_has_not_is_refused(start_at: int) -> None:
    out = BytesIO()
    with pytest.raises(BadInput, match="labels 1 to 21"):
        draw(made(1), A4, out, start_at=start_at)
    assert out.getvalue() == b""


def test_no_tags_are_no_sheet() -> None:
    out = BytesIO()
    with pytest.raises(BadInput, match="no tags to print"):
        draw([], A4, out)
    assert out.getvalue() == b""


def test_names_that_cannot_be_drawn_are_told() -> None:
    labels = made(len(NAMES))
    assert gaps(labels) == ["温州みかん", "青島", "שזיף", "برقوق", "Pear 🌳"]


def test_any_name_is_set_without_leaving_its_label() -> None:
    # Characters drawn from all of Unicode's first planes, with spaces between.
    drawn = random.Random(1935)
    letters = [
        chr(drawn.choice((drawn.randrange(0x250), drawn.randrange(0x3100), drawn.randrange(0x110000))))
        for _ in range(6_000)
    ]
    names = ["".join(drawn.choice((*letters, " ")) for _ in range(drawn.randrange(60))) for _ in range(42)]
    code = "K7M4Q24"
    labels = [Label(code, address_for(ORIGINS[1], code), name, name[::-1]) for name in names]
    for page in pictures(printed(labels, A4), 150):
        for tag in crops(page, A4, 150):
            assert min(reaches(ink(tag))) / 150 * MM_PER_INCH >= 1.5
            assert texts_on(tag) == [labels[0].address]
