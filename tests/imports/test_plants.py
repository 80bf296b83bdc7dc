"""A list of plants: each line says what it would add or what is wrong; positions and words are kept."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.cast import TODAY
from tests.imports.conftest import PlanPlants
from walkabout.errors import BadInput
from walkabout.imports.plan import lines_to_skip
from walkabout.imports.plants import LONGEST_TEXT, MOST_LINES, Known, keep_plants
from walkabout.imports.plants import plan_plants as plan
from walkabout.imports.read import read_sheet
from walkabout.records.database import close_database, database, open_database
from walkabout.records.plants import Plant, folded, plants
from walkabout.records.spots import save_spot
from walkabout.records.yards import create_yard
from walkabout.tags.codes import make_code


def test_a_line_says_what_it_adds(plan_plants: PlanPlants) -> None:
    made = plan_plants(
        "name,crop,cultivar,rootstock,raised,planted,spot,x_m,y_m\n"
        "Old gate fig,Figs,Brown Turkey,,cutting,about 2012,South bed,2,4.5\n"
    )
    assert [str(line) for line in made.lines] == [
        "line 2: add Old gate fig, Fig, Brown Turkey, planted about 2012, in South bed, at 2 m, 4.5 m"
    ]
    (facts,) = made.ready
    assert (facts.crop, facts.raised, facts.planted, facts.planted_about) == ("fig", "cutting", "2012", True)


def test_a_name_is_made_of_crop_row_and_column(plan_plants: PlanPlants) -> None:
    made = plan_plants("row,col,crop\n1,2,Apple\n")
    assert str(made.lines[0]) == "line 2: add Apple r1 c2, Apple, in Row 1"


def test_crops(plan_plants: PlanPlants) -> None:
    made = plan_plants("name,crop\nA,Grape\nB,Quince tree\n")
    assert made.lines[0].words.endswith("(Grape was taken as Bunch grape; it could be Muscadine grape)")
    assert made.lines[1].words.endswith("(the books do not know Quince tree; it is kept as you wrote it)")
    assert [facts.crop for facts in made.ready] == ["bunch_grape", "Quince tree"]


def test_units_are_turned_into_metres_and_litres(plan_plants: PlanPlants) -> None:
    # NIST SP 811 (2008), B.8: 1 ft = 0.3048 m, 1 US gal = 3.785 411 784 L.
    (facts,) = plan_plants("name,crop,x (ft),y (ft),pot gallons\nA,Fig,10,-100,15\n").ready
    assert (facts.x_m, facts.y_m) == (pytest.approx(3.048), pytest.approx(-30.48))
    assert facts.container
    assert facts.container_litres == pytest.approx(56.78117676)


def test_a_plant_in_full(plan_plants: PlanPlants) -> None:
    made = plan_plants(
        "name,crop,trained as,wanted height (ft),nursery,state,died,why ended\n"
        "A,Apple,Open center,8,Hollow Lane,dead,2024-02,voles\n"
        "B,Apple,my own way,,,ordered,,\n"
    )
    assert [line.words for line in made.lines] == [
        "add A, Apple, open centre, kept at 2.44 m, from Hollow Lane, dead 2024-02 voles",
        "add B, Apple, my own way, ordered",
    ]
    first, second = made.ready
    # NIST SP 811 (2008), B.8: 1 ft = 0.3048 m.
    assert (first.training, first.wanted_height_m) == ("open_centre", pytest.approx(8 * 0.3048))
    assert (first.source, first.state, first.ended, first.ended_why) == (
        "Hollow Lane",
        "dead",
        "2024-02",
        "voles",
    )
    assert (second.training, second.state, second.ended) == ("my own way", "ordered", None)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("A,Apple,2020,growing,2024,", "its state is growing"),
        ("A,Apple,2020,,,voles", "its state is growing"),
        ("A,Apple,2020-05,dead,2019,", "before it was planted"),
        ("A,Apple,2020,dead,2099,", 'ended "2099" lies in the future'),
    ],
)
def test_an_end_that_cannot_be_is_told(plan_plants: PlanPlants, line: str, words: str) -> None:
    made = plan_plants(f"name,crop,planted,state,ended,ended_why\n{line}\n")
    assert made.lines[0].fault
    assert words in made.lines[0].words


def test_only_what_grows_gets_a_tag(plan_plants: PlanPlants) -> None:
    keep_plants(plan_plants("name,crop,state\nA,Apple,\nB,Apple,ordered\nC,Apple,dead\n"), make_code)
    assert {plant.name: plant.code is not None for plant in plants()} == {"A": True, "B": False, "C": False}


def test_decimal_commas_of_a_list_with_semicolons(plan_plants: PlanPlants) -> None:
    (facts,) = plan_plants("name;crop;x_m;y_m\nA;Fig;2,5;-3\n").ready
    assert (facts.x_m, facts.y_m) == (2.5, -3.0)


def test_every_position_is_kept(plan_plants: PlanPlants, yard: Path) -> None:
    save_spot("Wall", 1.0, 1.0)
    made = plan_plants(
        "name,crop,spot,x_m,y_m\nA,Fig,Row 1,0,0\nB,Fig,row 1,4,0\nC,Fig,,9,9\nD,Fig,Gate,5,5\nE,Fig,Wall,2,2\nF,Fig,Row 1,,\n"
    )
    kept = {plant.name: plant.spot for plant in keep_plants(made, make_code)}
    positions = {name: (spot.name, spot.x_m, spot.y_m) for name, spot in kept.items() if spot}
    assert positions == {
        "A": ("Row 1, A", 0, 0),
        "B": ("row 1, B", 4, 0),
        "C": ("C", 9, 9),
        "D": ("Gate", 5, 5),
        "E": ("Wall, E", 2, 2),
        "F": ("Row 1", None, None),
    }


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (",Fig,,,,", "it has no name"),
        ("A,,,,,", "it has no crop"),
        ("A,Fig,spring,,,", '"spring" is not a date'),
        ("A,Fig,2027,,,", "lies in the future"),
        ("A,Fig,,magic,,", 'raised "magic" is not known; write one of grafted'),
        (
            "A,Fig,,,thriving,",
            'state "thriving" is not known; write one of wanted, ordered, growing, dead, gone',
        ),
        ("A,Fig,,,,two", '"two" is not a plain number'),
        ("A,Fig,,,,10001", "more than 10 km away"),
        (f"{'x' * (LONGEST_TEXT + 1)},Fig,,,,", f"name has {LONGEST_TEXT + 1} characters"),
        ("A\x07,Fig,,,,", "name holds a control character"),
        ("A,Fig,,,,,,9", "it has 8 cells and the header has 6"),
    ],
)
def test_wrong_lines_are_named_and_nothing_is_kept(plan_plants: PlanPlants, line: str, says: str) -> None:
    made = plan_plants(f"name,crop,planted,raised,state,x_m\nGood,Fig,,,,\n{line}\n")
    (fault,) = made.faults
    assert fault.number == 3
    assert says in fault.words
    with pytest.raises(BadInput, match=r"1 of 2 lines is wrong, first line 3: .* Nothing was written"):
        keep_plants(made, make_code)
    assert plants() == []


def test_names_are_new_and_stand_once(plan_plants: PlanPlants, make_plant: Callable[..., Plant]) -> None:
    make_plant("Old gate fig")
    text = "name,crop\nold  GATE fig,Fig\nTwin,Fig\ntwin,Fig\nLone,Fig\n"
    faults = [str(line) for line in plan_plants(text).faults]
    assert faults == [
        "line 2: old GATE fig is in the yard already; rename it, or add --skip-known",
        "line 3: Twin stands 2 times in the file; give each plant a name of its own",
        "line 4: twin stands 2 times in the file; give each plant a name of its own",
    ]
    made = plan_plants(text, skip_known=True, skip=lines_to_skip("4"))
    assert made.faults == ()
    assert [facts.name for facts in made.ready] == ["Twin", "Lone"]
    assert [line.words for line in made.lines[:3:2]] == [
        "left out: old GATE fig is in the yard already",
        "left out, as you said",
    ]


def test_columns_that_are_needed(plan_plants: PlanPlants) -> None:
    with pytest.raises(BadInput, match="no column for the plant's name"):
        plan_plants("crop,row\nFig,1\n")
    with pytest.raises(BadInput, match="No column for name or crop"):
        plan_plants("colour\nred\n")
    with pytest.raises(BadInput, match="both x_m and x_ft"):
        plan_plants("name,crop,x_m,x_ft\nA,Fig,1,3\n")


@pytest.mark.parametrize("text", ["x", "4-2", "4;5", "-3", "1-"])
def test_lines_to_skip_are_numbers(text: str) -> None:
    with pytest.raises(BadInput, match="is not a line or a range of lines"):
        lines_to_skip(text)


def test_lines_to_skip(plan_plants: PlanPlants) -> None:
    assert lines_to_skip("4, 7-9,") == {4, 7, 8, 9}
    with pytest.raises(BadInput, match="--skip names line 9"):
        plan_plants("name,crop\nA,Fig\n", skip=lines_to_skip("9"))


def test_every_plant_gets_a_tag(plan_plants: PlanPlants) -> None:
    keep_plants(plan_plants("name,crop\nA,Fig\nB,Fig\n"), make_code)
    codes = {plant.code for plant in plants()}
    assert len(codes) == 2
    assert None not in codes


def test_all_or_none_when_the_keeping_fails(plan_plants: PlanPlants) -> None:
    def broken() -> str:
        raise OSError("no chance left")

    with pytest.raises(OSError, match="no chance left"):
        keep_plants(plan_plants("name,crop\nA,Fig\nB,Fig\n"), broken)
    assert plants() == []


# Any text that a cell can hold: no surrogates, no control characters (those are refused, see above).
_TEXTS = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=LONGEST_TEXT)


@pytest.fixture(scope="module")
def emptied(tmp_path_factory: pytest.TempPathFactory) -> Callable[[], None]:
    """Opens one database for all examples, and takes the plants out of it again."""
    place = tmp_path_factory.mktemp("any-texts")
    open_database(place, create=True)
    create_yard(
        name="Any", latitude=0, longitude=0, timezone="UTC", units="metric", origin="http://localhost"
    )
    close_database()

    def emptying() -> None:
        open_database(place)
        for table in ("tag", "plant", "spot"):
            database.execute_sql(f"DELETE FROM {table}")

    return emptying


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(_TEXTS, _TEXTS, _TEXTS), min_size=1, max_size=5))
def test_any_texts_come_back_from_plants(
    emptied: Callable[[], None], tmp_path: Path, rows: list[tuple[str, str, str]]
) -> None:
    rows = [(" ".join(name.split()), cultivar, spot) for name, cultivar, spot in rows]
    rows = [row for row in rows if row[0]]
    rows = list({folded(row[0]): row for row in rows if folded(row[0])}.values())
    emptied()
    out = io.StringIO(newline="")
    csv.writer(out).writerows([("name", "crop", "cultivar", "spot"), *((n, "Fig", c, s) for n, c, s in rows)])
    path = tmp_path / "any.csv"
    path.write_bytes(out.getvalue().encode())
    made = plan(read_sheet(path, most_lines=MOST_LINES), Known(()), TODAY)
    keep_plants(made, make_code)
    kept = {plant.name: (plant.cultivar, plant.spot.name if plant.spot else "") for plant in plants()}

    def tidy(text: str) -> str:
        return " ".join(text.split())

    assert kept.keys() == {row[0] for row in rows}
    for name, cultivar, spot in rows:
        assert kept[name][0] == tidy(cultivar)
        # Spots are one place whatever the capitals, so the first way of writing holds.
        assert kept[name][1].casefold() == tidy(spot).casefold()
