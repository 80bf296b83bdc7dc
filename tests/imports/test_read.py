"""A CSV file becomes numbered lines; what is doubtful is refused with its line.

RFC 4180 is the published form of CSV; encodings and their marks: The Unicode Standard 16.0, section 23.8.
"""

from collections.abc import Callable
from pathlib import Path

import pytest

from walkabout.errors import BadInput
from walkabout.imports.read import Sheet, read_sheet

Write = Callable[[bytes | str], Path]


@pytest.fixture
def written(tmp_path: Path) -> Write:
    def write(content: bytes | str) -> Path:
        path = tmp_path / "list.csv"
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    return write


def read(path: Path, most_lines: int = 100, encoding: str | None = None) -> Sheet:
    return read_sheet(path, most_lines=most_lines, encoding=encoding)


def test_plain_file(written: Write) -> None:
    sheet = read(written("name,crop\nOld gate fig,Fig\n"))
    assert sheet.header == ("name", "crop")
    assert [(line.number, line.cells, line.fault) for line in sheet.lines] == [
        (2, ("Old gate fig", "Fig"), None)
    ]


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_delimiter_is_taken_from_the_header(written: Write, delimiter: str) -> None:
    sheet = read(written(f'name{delimiter}"crop, kind"\nA{delimiter}Fig\n'))
    assert (sheet.header, sheet.delimiter) == (("name", "crop, kind"), delimiter)


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_every_line_ending(written: Write, ending: str) -> None:
    # RFC 4180 asks for CRLF; the others are common practice of editors.
    sheet = read(written(ending.join(["name,crop", "A,Fig", "", "B,Apple"])))
    assert [(line.number, line.cells[0]) for line in sheet.lines] == [(2, "A"), (4, "B")]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32"])
def test_encodings_that_announce_themselves(written: Write, encoding: str) -> None:
    sheet = read(written("name\nLimón de la señora\n".encode(encoding)))
    assert sheet.lines[0].cells == ("Limón de la señora",)


@pytest.mark.parametrize(("mark", "encoding"), [(b"\xfe\xff", "utf-16-be"), (b"\xff\xfe", "utf-16-le")])
def test_both_byte_orders(written: Write, mark: bytes, encoding: str) -> None:
    assert read(written(mark + "name\nÄpfel".encode(encoding))).lines[0].cells == ("Äpfel",)


def test_other_encoding_is_refused_with_line_and_byte_and_taken_when_said(written: Write) -> None:
    path = written("name,crop\nA,Fig\nBäumchen,Apple\n".encode("cp1252"))
    with pytest.raises(
        BadInput, match=r"line 3, byte 2 of the line \(0xE4\) is not UTF-8\. .*--encoding cp1252"
    ):
        read(path)
    assert read(path, encoding="cp1252").lines[1].cells[0] == "Bäumchen"


def test_unknown_encoding(written: Write) -> None:
    with pytest.raises(BadInput, match='"klingon" is not known'):
        read(written("name\n"), encoding="klingon")


def test_utf16_without_mark_is_refused(written: Write) -> None:
    with pytest.raises(BadInput, match="zero byte"):
        read(written("name\nA".encode("utf-16-le")))


@pytest.mark.parametrize(
    ("content", "line"),
    [
        ('name,crop\nA,Fig\n"B,Apple\nC,Fig\n', 3),  # never closed
        ('name,crop\n"A" x,Fig\n', 2),  # text after the closing quote
    ],
)
def test_broken_quotes_name_the_line(written: Write, content: bytes | str, line: int) -> None:
    with pytest.raises(BadInput, match=f"begins at line {line} has broken quotes"):
        read(written(content))


def test_quoted_cells_may_hold_everything(written: Write) -> None:
    # RFC 4180, section 2, rules 6 and 7.
    sheet = read(written('name,crop\n"a ""b"", c\nd",Fig\nE,Fig\n'))
    assert [(line.number, line.cells[0]) for line in sheet.lines] == [(2, 'a "b", c\nd'), (4, "E")]


def test_too_many_cells_are_a_fault_of_that_line_only(written: Write) -> None:
    sheet = read(written("name,crop\nA,Fig,,\nB,Fig,5,6\nC\n"))
    assert [line.fault is None for line in sheet.lines] == [True, False, True]
    assert "4 cells and the header has 2" in str(sheet.lines[1].fault)
    assert sheet.lines[2].cells == ("C", "")


@pytest.mark.parametrize("content", ["", "\n\n", " , ,\n"])
def test_empty_file(written: Write, content: bytes | str) -> None:
    with pytest.raises(BadInput, match="is empty"):
        read(written(content))


def test_columns_need_names_of_their_own(written: Write) -> None:
    with pytest.raises(BadInput, match='two columns named "a"'):
        read(written("a,b,a\n1,2,3\n"))
    with pytest.raises(BadInput, match="column 2 has no name"):
        read(written("a,,b\n1,2,3\n"))


def test_fifty_thousand_lines_are_refused(written: Write) -> None:
    with pytest.raises(BadInput, match=r"has 50,000 lines; one file may have 5,000\. Split it"):
        read(written("name\n" + "A\n" * 50_000), most_lines=5_000)


def test_largest_file_is_read_and_one_byte_more_is_not(
    written: Write, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("walkabout.imports.read.LARGEST_FILE", 7)
    assert read(written("name\nAB")).lines
    with pytest.raises(BadInput, match="larger than"):
        read(written("name\nABC"))


def test_missing_file_and_folder(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="cannot be read"):
        read(tmp_path / "none.csv")
    with pytest.raises(BadInput, match="cannot be read"):
        read(tmp_path)
