"""From a CSV file to numbered lines of cells. Whatever is doubtful is refused with the line it stands on."""

import codecs
import csv
import io
from dataclasses import dataclass
from pathlib import Path

from walkabout.errors import BadInput

LARGEST_FILE = 20_000_000
_DELIMITERS = (",", ";", "\t")
# UTF-32 begins with the bytes of UTF-16, so it is looked for first.
_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)


@dataclass(frozen=True, slots=True)
class Line:
    """One data line.

    Attributes:
        number: where it begins in the file, counted as a text editor counts; the header is usually 1.
        cells: the texts in the order of the header, without spaces around them.
        fault: why the line cannot be read, or None.
    """

    number: int
    cells: tuple[str, ...]
    fault: str | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """A file that could be read: its header, its data lines and what separates its cells."""

    header: tuple[str, ...]
    lines: tuple[Line, ...]
    delimiter: str


def read_sheet(path: Path, *, most_lines: int, encoding: str | None = None) -> Sheet:
    """The header and the data lines of a CSV file; empty lines are passed over.

    Args:
        path: the file, separated by comma, semicolon or tab.
        most_lines: more data lines than this are refused.
        encoding: what the file is written in, if it is not UTF-8 and does not begin with a mark.

    Raises:
        BadInput: the file is missing, too large, in another encoding, has broken quotes or no header.
    """
    content = _bytes_of(path)
    text = _decode(content, path, encoding)
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise BadInput(
            f"{path.name}, line {line} holds a zero byte, so it is not plain CSV. Save the list as CSV UTF-8."
        )
    delimiter = _delimiter(text)
    rows = _rows(text, delimiter, path)
    if not rows:
        raise BadInput(
            f"{path.name} is empty. The first line names the columns, for example: name,crop,planted"
        )
    header = _header(rows[0][1], path)
    if len(rows) - 1 > most_lines:
        raise BadInput(
            f"{path.name} has {len(rows) - 1:,} lines; one file may have {most_lines:,}. "
            "Split it, each part with the header line, and import the parts one after another."
        )
    lines = tuple(_line(number, cells, len(header)) for number, cells in rows[1:])
    return Sheet(header, lines, delimiter)


def _bytes_of(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise BadInput(f"{path} cannot be read ({error.strerror}). Check the name of the file.") from error
    if len(content) > LARGEST_FILE:
        raise BadInput(
            f"{path.name} is larger than {LARGEST_FILE // 1_000_000} MB. Split it into smaller files."
        )
    return content


def _decode(content: bytes, path: Path, encoding: str | None) -> str:
    for mark, marked in _MARKS:
        if content.startswith(mark):
            content, encoding = content[len(mark) :], marked
            break
    try:
        return content.decode(encoding or "utf-8")
    except LookupError as error:
        raise BadInput(f'The encoding "{encoding}" is not known. Try --encoding cp1252.') from error
    except UnicodeDecodeError as error:
        before = content[: error.start]
        line = before.count(b"\n") + 1
        column = error.start - (before.rfind(b"\n") + 1) + 1
        name = (encoding or "utf-8").upper()
        hint = (
            "Save the file as CSV UTF-8, or, if it comes from an older Windows program, add --encoding cp1252."
            if encoding is None
            else "Save the file as CSV UTF-8."
        )
        raise BadInput(
            f"{path.name}, line {line}, byte {column} of the line (0x{content[error.start]:02X}) is not {name}. {hint}"
        ) from error


def _delimiter(text: str) -> str:
    """What separates the cells of the first line with words on it; a comma if nothing does."""
    quoted = False
    counts = dict.fromkeys(_DELIMITERS, 0)
    for sign in text.lstrip("\r\n"):
        if sign == '"':
            quoted = not quoted
        elif not quoted and sign in "\r\n":
            break
        elif not quoted and sign in counts:
            counts[sign] += 1
    return max(_DELIMITERS, key=lambda delimiter: counts[delimiter])


def _rows(text: str, delimiter: str, path: Path) -> list[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[tuple[int, list[str]]] = []
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append((begins, cells))
            begins = reader.line_num + 1
    except csv.Error as error:
        raise BadInput(
            f"{path.name}: the line that begins at line {begins} has broken quotes or a cell without end ({error}). "
            'Close every " and write a " inside a quoted cell as "".'
        ) from error
    return rows


def _header(cells: list[str], path: Path) -> tuple[str, ...]:
    header = [cell.strip() for cell in cells]
    # A spreadsheet often leaves empty columns at the right; only unnamed cells in between are a question.
    while header and not header[-1]:
        header.pop()
    for position, name in enumerate(header, start=1):
        if not name:
            raise BadInput(
                f"{path.name}: column {position} has no name. Name every column in the first line."
            )
        if header.index(name) != position - 1:
            raise BadInput(f'{path.name} has two columns named "{name}". Give each column its own name.')
    return tuple(header)


def _line(number: int, cells: list[str], width: int) -> Line:
    stripped = [cell.strip() for cell in cells]
    while len(stripped) > width and not stripped[-1]:
        stripped.pop()
    if len(stripped) > width:
        return Line(
            number,
            tuple(stripped[:width]),
            f"it has {len(stripped)} cells and the header has {width}; put quotes round a cell that holds the separator",
        )
    return Line(number, tuple(stripped + [""] * (width - len(stripped))))
