"""Renaming, moving, merging and removing spots."""

import pytest

from tests.cast import plant_one
from walkabout.errors import BadInput, NotFound
from walkabout.records import changes, plants, spot_changes, spots


def spot_id(name: str) -> str:
    found = spots.spot_by_name(name)
    assert found is not None
    return found.id


def test_a_spot_is_renamed_and_found_by_its_new_name(members: object) -> None:
    fig = plant_one("Fig", "fig", spot="Row 1")
    plant_one("Pear", "european_pear", spot="Row 2")
    before = changes.page_changes()[fig.id]
    spot_changes.change_spot(spot_id("Row 1"), "South wall", 1.5, None)
    assert changes.page_changes()[fig.id] > before
    moved = plants.plant(fig.id)
    assert moved is not None
    assert moved.spot == spots.Spot(spot_id("South wall"), "South wall", 1.5, None)
    assert [plant.name for plant in plants.plants("wall")] == ["Fig"]
    assert plants.plants("row 1") == []
    with pytest.raises(BadInput, match="merge the two"):
        spot_changes.change_spot(spot_id("South wall"), "row 2", None, None)
    spot_changes.change_spot(spot_id("South wall"), "SOUTH WALL", 1.5, None)  # its own name, other capitals
    with pytest.raises(NotFound):
        spot_changes.change_spot("unknown", "x", None, None)


def test_two_spots_of_one_place_become_one(members: object) -> None:
    fig = plant_one("Fig", "fig", spot="Row 1", x_m=2.0, y_m=3.0)
    plant_one("Pear", "european_pear", spot="First row")
    spot_changes.merge_spots(spot_id("Row 1"), spot_id("First row"))
    (left,) = spot_changes.spots_in_use()
    assert (left.spot.name, left.spot.x_m, left.spot.y_m, left.growing) == ("First row", 2.0, 3.0, 2)
    assert plants.plant(fig.id).spot == left.spot  # type: ignore[union-attr]
    assert len(plants.plants("first row")) == 2
    with pytest.raises(BadInput, match="same spot"):
        spot_changes.merge_spots(left.spot.id, left.spot.id)


def test_only_an_empty_spot_is_removed(members: object) -> None:
    plant_one("Stump", "apple", spot="Row 1", state="dead")
    spots.save_spot("Row 2")
    assert [(use.spot.name, use.growing, use.plants) for use in spot_changes.spots_in_use()] == [
        ("Row 1", 0, 1),
        ("Row 2", 0, 0),
    ]
    with pytest.raises(BadInput, match="earlier years"):
        spot_changes.remove_spot(spot_id("Row 1"))
    spot_changes.remove_spot(spot_id("Row 2"))
    assert [use.spot.name for use in spot_changes.spots_in_use()] == ["Row 1"]
