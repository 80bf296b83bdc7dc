"""The tags of a yard on sheets, in walking order; the yard is invented."""

from collections.abc import Callable
from io import BytesIO

import pytest

from tests.tags.sheets_read import crops, pictures, texts_on
from walkabout.errors import BadInput
from walkabout.records.plants import Plant, PlantFacts, add_plant
from walkabout.tags.printing import Printed, labels_of_yard, print_all
from walkabout.tags.sheets import sheet

ORIGIN = "https://orchard.example.org"


@pytest.fixture
def planted(make_plant: Callable[..., Plant]) -> list[Plant]:
    """Tagged plants in the order in which one walks past them, recorded in another."""
    recorded = {
        facts: make_plant(name, crop, spot=spot, cultivar=cultivar)
        for facts in [
            ("Pot lemon", "lemon", "", "Meyer"),
            ("Tree 10", "apple", "Row 2", "Redfree"),
            ("Tree 2", "apple", "Row 2", ""),
            ("Tree 1", "apple", "Row 10", "Redfree"),
        ]
        for name, crop, spot, cultivar in [facts]
    }
    lemon, ten, two, one = recorded.values()
    return [two, ten, one, lemon]


def test_labels_come_in_walking_order(planted: list[Plant]) -> None:
    labels = labels_of_yard(ORIGIN)
    assert [label.code for label in labels] == [plant.code for plant in planted]
    assert [label.plant for label in labels] == ["Tree 2", "Tree 10", "Tree 1", "Pot lemon"]
    # Without a cultivar the crop says what it is.
    assert [label.cultivar for label in labels] == ["Apple", "Redfree", "Redfree", "Meyer"]


def test_print_all_prints_each_hanging_tag_once(planted: list[Plant]) -> None:
    add_plant(PlantFacts("Not tagged yet", "fig"))
    out = BytesIO()
    assert print_all(ORIGIN, "a4-3x7-63x38", out) == Printed(labels=4, pages=1, gaps=())
    (page,) = pictures(out.getvalue(), 150)
    read = [texts_on(tag) for tag in crops(page, sheet("a4-3x7-63x38"), 150)]
    assert read[:4] == [[f"HTTPS://ORCHARD.EXAMPLE.ORG/T/{plant.code}"] for plant in planted]
    assert read[4:] == [[]] * 17


def test_names_that_cannot_be_drawn_are_told(make_plant: Callable[..., Plant]) -> None:
    make_plant("\u6e29\u5dde", "mandarin")
    assert print_all(ORIGIN, "letter-2x5-4x2", BytesIO()).gaps == ("\u6e29\u5dde",)


def test_a_yard_without_tags_prints_nothing(yard: object) -> None:
    with pytest.raises(BadInput, match="no tags to print"):
        print_all(ORIGIN, "a4-3x7-63x38", BytesIO())
