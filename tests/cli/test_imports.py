"""Lists come in by the command: shown first, kept after a yes, refused whole when a line is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Run, refused
from walkabout.records.database import open_database
from walkabout.records.entries import count_entries
from walkabout.records.plants import count_plants, plants

PLANTS = "name,crop,cultivar,planted,spot,x_m,y_m\nOld gate fig,Fig,Brown Turkey,2012,South bed,2,4\n"
ENTRIES = "plant,date,kind,weight_lb\nOld gate fig,2024-07-14,harvest,12.5\n"


@pytest.fixture
def listed(tmp_path: Path) -> Path:
    """A good list of plants."""
    path = tmp_path / "plants.csv"
    path.write_text(PLANTS, encoding="utf-8")
    return path


def nothing_is_recorded(data: Path) -> None:
    open_database(data)
    assert (count_plants(), count_entries()) == (0, 0)


def test_shown_asked_and_added(run: Run, set_up: Path, listed: Path) -> None:
    result = run("import", "plants", "plants.csv", stdin="y\n")
    assert result.exit_code == 0, result.output
    assert 'column "cultivar" is cultivar' in result.stdout
    assert (
        "line 2: add Old gate fig, Fig, Brown Turkey, planted 2012, in South bed, at 2 m, 4 m"
        in result.stdout
    )
    assert "1 plant was added" in result.stdout
    open_database(set_up)
    (plant,) = plants()
    assert plant.code is not None


@pytest.mark.parametrize(("answer", "code"), [("n\n", 0), ("", 2)])
def test_without_a_yes_nothing_is_written(
    run: Run, set_up: Path, listed: Path, answer: str, code: int
) -> None:
    result = run("import", "plants", "plants.csv", stdin=answer)
    assert result.exit_code == code
    assert "Nothing was written" in result.output
    nothing_is_recorded(set_up)


def test_entries(run: Run, set_up: Path, listed: Path, tmp_path: Path) -> None:
    assert run("import", "plants", "plants.csv", "--yes").exit_code == 0
    (tmp_path / "picked.csv").write_text(ENTRIES, encoding="utf-8")
    for said in ("1 entry was recorded", "Nothing is to be added"):
        result = run("import", "entries", "picked.csv", "--yes")
        assert result.exit_code == 0, result.output
        assert said in result.stdout
        open_database(set_up)
        assert count_entries() == 1


def test_their_own_column_names(run: Run, set_up: Path, tmp_path: Path) -> None:
    (tmp_path / "baum.csv").write_bytes(
        "Name des Baums;Art;Gepflanzt\nBäumchen;Fig;14.3.2021\n".encode("cp1252")
    )
    refused(run("import", "plants", "baum.csv", "--yes"), code=2, says="--encoding cp1252")
    maps = ("--map", "Name des Baums=name", "--map", "Art=crop", "--map", "Gepflanzt=planted")
    result = run("import", "plants", "baum.csv", "--yes", "--encoding", "cp1252", *maps)
    assert result.exit_code == 0, result.output
    open_database(set_up)
    assert [(plant.name, plant.planted) for plant in plants()] == [("Bäumchen", "2021-03-14")]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"name,crop\n\xe4,Fig\n", "line 2, byte 1 of the line (0xE4) is not UTF-8"),
        (b'name,crop\n"A,Fig\n', "begins at line 2 has broken quotes"),
        (b"name,colour\nA,red\n", "line 2: it has no crop"),
        (b"colour,shape\nred,round\n", "No column for name or crop was found among: colour, shape"),
        (b"name,crop,planted\nA,Fig,1/2/2020\n", "can be read in two ways. Add --dates dmy"),
        (b"name,crop,planted\nA,Fig,2020-13-01\n", "is not a day of the calendar"),
        (b"name,crop\n" + b"A,Fig\n" * 50_000, "has 50,000 lines; one file may have 5,000. Split it"),
        (b"", "is empty"),
        (b"name,crop\nA,Fig\nB,\n", "1 of 2 lines is wrong, first line 3: it has no crop"),
    ],
)
def test_bad_lists_of_plants(run: Run, set_up: Path, tmp_path: Path, content: bytes, says: str) -> None:
    (tmp_path / "bad.csv").write_bytes(content)
    refused(run("import", "plants", "bad.csv", "--yes"), code=2, says=says)
    nothing_is_recorded(set_up)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("plant,date,count\nNobody,2024-01-02,5\n", 'there is no plant "Nobody" in this yard'),
        ("plant,date,kind\nNobody,2024-01-02,picnic\n", "no plant"),
        (
            "plant,date,count\n" + "Nobody,2024-01-02,5\n" * 50_000,
            "has 50,000 lines; one file may have 20,000",
        ),
        ("plant,count\nNobody,5\n", "No column for date"),
    ],
)
def test_bad_lists_of_entries(run: Run, set_up: Path, tmp_path: Path, content: str, says: str) -> None:
    (tmp_path / "bad.csv").write_text(content, encoding="utf-8")
    refused(run("import", "entries", "bad.csv", "--yes"), code=2, says=says)
    nothing_is_recorded(set_up)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--map", "name=colour"), 'names the field "colour", which is not known. There are: name, crop'),
        (("--map", "colour=name"), 'names the column "colour", which is not there. There are: name, crop'),
        (("--map", "name"), "is not understood"),
        (("--skip", "x"), "is not a line or a range of lines"),
        (("--skip", "77"), "--skip names line 77, which is not a data line"),
        (("--encoding", "klingon"), 'The encoding "klingon" is not known'),
        (("--dates", "ymd"), "Invalid value for '--dates'"),
    ],
)
def test_bad_options(run: Run, set_up: Path, listed: Path, words: tuple[str, ...], says: str) -> None:
    refused(run("import", "plants", "plants.csv", "--yes", *words), code=2, says=says)
    nothing_is_recorded(set_up)


def test_missing_file_and_yard(run: Run, set_up: Path, tmp_path: Path) -> None:
    refused(run("import", "plants", "none.csv"), code=2, says="none.csv cannot be read")
    refused(
        run("import", "plants", "none.csv", folder=tmp_path / "elsewhere"), code=1, says="There is no yard in"
    )
    assert not (tmp_path / "elsewhere").exists()
