"""Tables that no spreadsheet runs.

Source: OWASP, "CSV Injection": cells that begin with = + - @, tab, carriage return, line feed or a full-width form of
the first four are run by spreadsheets; an apostrophe before them keeps them text.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkabout.errors import BadInput
from walkabout.exports.out import with_details
from walkabout.exports.tables import FILES, rows_of, safe, table_pieces, unsafe
from walkabout.records.whole import read_whole, tables

DANGEROUS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


@pytest.mark.parametrize("start", DANGEROUS)
def test_no_cell_is_taken_for_a_formula(start: str) -> None:
    assert safe(f"{start}1+1") == f"'{start}1+1"


@given(
    text=st.text()
    | st.sampled_from(DANGEROUS).flatmap(lambda start: st.text().map(lambda rest: start + rest))
)
def test_every_text_comes_back(text: str) -> None:
    assert unsafe(safe(text)) == text
    assert not safe(text).startswith(DANGEROUS)


def test_what_a_spreadsheet_opens(held_yard: Path) -> None:
    records = with_details(read_whole())
    content = b"".join(table_pieces("entry", records))
    assert content.startswith(b"\xef\xbb\xbf"), "without the mark a spreadsheet takes it for another encoding"
    head, note, harvest = csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""))
    assert head[:5] == ["Id", "Plant", "Plant id", "Kind", "Subject"]
    told = dict(zip(head, note, strict=True))
    assert told["Plant"] == "Old gate fig"
    assert told["Author"] == "Kofi"
    assert told["Details: words"] == "'=HYPERLINK(1)"
    assert dict(zip(head, harvest, strict=True))["Details: weight (kg)"] == "3.5"
    plants = csv.reader(io.StringIO(b"".join(table_pieces("plant", records)).decode("utf-8-sig"), newline=""))
    assert {
        "Name",
        "Spot",
        "Wanted height (m)",
        "Container (litres)",
        "Raised from",
        "Raised from id",
    } <= set(next(plants))


def test_longitudes_west_stay_numbers(held_yard: Path) -> None:
    content = b"".join(table_pieces("yard", with_details(read_whole()))).decode("utf-8-sig")
    assert ",-76.4," in content


def test_every_table_has_a_file_of_its_own_and_headings_that_differ(held_yard: Path) -> None:
    assert len(set(FILES.values())) == len(tables())
    records = with_details(read_whole())
    for table in tables():
        content = b"".join(table_pieces(table, records))
        head = next(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))
        assert len(head) == len(set(head)), table
        assert rows_of(table, [content]) == list(records[table])


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("Seen on", "Day", r'entries.csv has no column "Seen on"'),
        ("2026-11-24,", "2026-11-24,,", r"entries.csv, line 2 has \d+ cells and not \d+"),
        (",1,", ",one,", r"entries.csv, line 2: Form cannot be read"),
        ('"{""photos', '"[""photos', r"entries.csv, line 2: Details cannot be read"),
    ],
)
def test_what_cannot_be_read_is_named(held_yard: Path, old: str, new: str, says: str) -> None:
    content = b"".join(table_pieces("entry", with_details(read_whole()))).decode()
    assert old in content
    with pytest.raises(BadInput, match=says):
        rows_of("entry", [content.replace(old, new, 1).encode()])


def test_another_encoding_is_told(held_yard: Path) -> None:
    with pytest.raises(BadInput, match="not in UTF-8"):
        rows_of("entry", ["Id,Größe".encode("cp1252")])
