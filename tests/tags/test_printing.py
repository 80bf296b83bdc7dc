"""The tags of a yard on sheets, in walking order; the yard is invented."""

from collections.abc import Callable
from io import BytesIO

import pytest

from tests.tags.sheets_read import crops, pictures, texts_on
from walkabout.errors import BadInput
from walkabout.records import limbs, tags
from walkabout.records.limbs import LimbFacts
from walkabout.records.merges import merge_plants
from walkabout.records.plants import Plant, PlantFacts, add_plant, change_plant
from walkabout.tags.codes import make_code
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


def test_the_tag_of_a_limb_comes_behind_that_of_its_plant_and_names_both(planted: list[Plant]) -> None:
    ten = planted[1]
    low = limbs.add_limb(ten.id, LimbFacts("low limb", cultivar="Liberty"))
    plum = limbs.add_limb(ten.id, LimbFacts("limb 2", crop="plum_european"))
    gone = limbs.add_limb(ten.id, LimbFacts("broken limb", state="gone"))
    codes = [tags.issue_tag(ten.id, make_code, limb_id=limb.id).code for limb in (low, plum, gone)]
    labels = labels_of_yard(ORIGIN)
    assert [(label.code, label.plant, label.cultivar) for label in labels[1:4]] == [
        (ten.code, "Tree 10", "Redfree"),
        (codes[1], "Tree 10, limb 2", "European plum"),
        (codes[0], "Tree 10, low limb", "Liberty"),
    ]
    assert len(labels) == 6


def test_tags_that_hang_on_what_ended_or_was_recorded_twice_are_not_printed(planted: list[Plant]) -> None:
    two, ten, one, lemon = planted
    for plant, state in ((two, "dead"), (ten, "gone")):
        change_plant(plant.id, PlantFacts(plant.name, plant.crop, state=state))
    limb = limbs.add_limb(two.id, LimbFacts("limb"))
    tags.issue_tag(two.id, make_code, limb_id=limb.id)
    merge_plants(lemon.id, one.id)
    assert [label.code for label in labels_of_yard(ORIGIN)] == [one.code]


def test_names_that_cannot_be_drawn_are_told(make_plant: Callable[..., Plant]) -> None:
    make_plant("\u6e29\u5dde", "mandarin")
    assert print_all(ORIGIN, "letter-2x5-4x2", BytesIO()).gaps == ("\u6e29\u5dde",)


def test_a_yard_without_tags_prints_nothing(yard: object) -> None:
    with pytest.raises(BadInput, match="no tags to print"):
        print_all(ORIGIN, "a4-3x7-63x38", BytesIO())
