"""The lists of the yard."""

from tests.cast import plant_one
from walkabout.care.yard_list import ENDED, NOT_YET, yard_lists
from walkabout.records import plants


def test_what_grows_comes_first_and_in_walking_order(members: object) -> None:
    for name, spot, state in (
        ("Tree 10", "Row 2", "growing"),
        ("Tree 2", "Row 2", "growing"),
        ("Tree 1", "Row 10", "growing"),
        ("Stump", "Row 1", "dead"),
        ("Wish", "", "wanted"),
        ("Given away", "Row 1", "gone"),
    ):
        plant_one(name, "apple", spot=spot, state=state)

    def named(**filters: str) -> list[list[str]]:
        state = filters.pop("state", "")
        lists = yard_lists(filters, state)
        known = plants.plants_by_id([plant_id for part in lists for plant_id in part.ids])
        return [[known[plant_id].name for plant_id in part.ids] for part in lists]

    assert named() == [["Tree 2", "Tree 10", "Tree 1"], ["Wish"], ["Given away", "Stump"]]
    assert [part.states for part in yard_lists({})] == [("growing",), NOT_YET, ENDED]
    assert named(search="tree 1") == [["Tree 10", "Tree 1"], [], []]
    assert named(state="dead") == [["Stump"]]
