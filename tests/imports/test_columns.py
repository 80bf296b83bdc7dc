"""Columns are known by their names, asked about when they could be two things, and never dropped unsaid."""

from collections.abc import Mapping

import pytest

from walkabout.errors import BadInput
from walkabout.imports.columns import ENTRY_FIELDS, PLANT_FIELDS, match_columns, require


@pytest.mark.parametrize(
    ("header", "fields", "expected"),
    [
        (("name", "crop", "cultivar", "planted", "spot", "x_m", "y_m"), PLANT_FIELDS, None),
        (("Tree name", "Fruit", "Variety", "Year planted", "Bed", "X (ft)", "Y (ft)"), PLANT_FIELDS,
         ("name", "crop", "cultivar", "planted", "spot", "x_ft", "y_ft")),
        (("plant", "date", "kind", "weight_lb"), ENTRY_FIELDS, None),
        (("Tag", "Picked on", "Weight (lbs)"), ENTRY_FIELDS, ("plant", "date", "weight_lb")),
        (("PLANT", "Date", "Yield, kg"), ENTRY_FIELDS, ("plant", "date", "weight_kg")),
    ],
)  # fmt: skip
def test_names_and_other_names(
    header: tuple[str, ...], fields: Mapping[str, tuple[str, ...]], expected: object
) -> None:
    columns = match_columns(header, fields)
    assert tuple(sorted(columns.places, key=columns.places.__getitem__)) == (expected or header)
    assert columns.unused == ()


def test_the_own_name_wins_over_another_name() -> None:
    columns = match_columns(("name", "plant", "date"), ENTRY_FIELDS)
    assert columns.places["plant"] == 1
    assert columns.unused == ("name",)
    assert 'column "name" is not used; add --map "name=FIELD" to use it' in columns.words()


def test_two_other_names_for_one_field_are_asked_about() -> None:
    with pytest.raises(BadInput, match=r'"tree" and "tag" could both be plant\. Add --map "tag="'):
        match_columns(("tree", "tag"), ENTRY_FIELDS)
    assert match_columns(("tree", "tag"), ENTRY_FIELDS, ["tag="]).places == {"plant": 0}


def test_the_growers_word_wins() -> None:
    columns = match_columns(("Baum", "name"), PLANT_FIELDS, ["Baum=name"])
    assert columns.places == {"name": 0}
    assert columns.unused == ("name",)


@pytest.mark.parametrize("name", ["weight", "Yield", "harvest"])
def test_amounts_without_unit_are_asked_about(name: str) -> None:
    with pytest.raises(BadInput, match=f'"{name}" does not say its unit.*--map "{name}=weight_lb"'):
        match_columns(("plant", "date", name), ENTRY_FIELDS)


@pytest.mark.parametrize(
    ("saying", "says"),
    [
        ("Baum", "not understood"),
        ("Strauch=name", 'names the column "Strauch", which is not there'),
        ("Baum=colour", 'names the field "colour", which is not known'),
    ],
)
def test_sayings_that_do_not_fit(saying: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        match_columns(("Baum",), PLANT_FIELDS, [saying])


def test_a_column_name_may_hold_an_equals_sign() -> None:
    assert match_columns(("a=b",), PLANT_FIELDS, ["a=b=name"]).places == {"name": 0}


def test_required_column() -> None:
    with pytest.raises(BadInput, match="No column for crop was found among: Baum"):
        require(match_columns(("Baum",), PLANT_FIELDS, ["Baum="]), "crop", "Add one.")
