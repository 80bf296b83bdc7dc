"""The other plants that a page names, and which pages become stale with them."""

import pytest

from tests.cast import plant_one
from walkabout.errors import BadInput
from walkabout.records import changes, kin, plants
from walkabout.records.plants import PlantFacts


def stale_after(before: dict[str, int]) -> set[str]:
    return {
        plant_id for plant_id, number in changes.page_changes().items() if number > before.get(plant_id, 0)
    }


def test_what_a_plant_was_raised_from_and_what_was_raised_from_it(members: object) -> None:
    mother = plant_one("Mother", "fig")
    child = plant_one("Child", "fig", raised_from=mother.id)
    assert kin.kin(mother.id).offspring == (kin.Relative(child.id, "Child", "growing"),)
    assert kin.kin(child.id).raised_from == kin.Relative(mother.id, "Mother", "growing")
    before = changes.page_changes()
    plants.change_plant(mother.id, PlantFacts("Old mother", "fig"))
    assert stale_after(before) == {mother.id, child.id}
    before = changes.page_changes()
    plants.change_plant(child.id, PlantFacts("Child", "fig"))
    assert stale_after(before) == {mother.id, child.id}
    assert kin.kin(mother.id).offspring == ()


def test_no_plant_is_raised_from_itself_by_whatever_way(members: object) -> None:
    first = plant_one("First", "fig")
    second = plant_one("Second", "fig", raised_from=first.id)
    third = plant_one("Third", "fig", raised_from=second.id)
    before = plants.plant(first.id)
    for parent in (first, second, third):
        with pytest.raises(BadInput, match="raised from this one"):
            plants.change_plant(first.id, PlantFacts("First", "fig", raised_from=parent.id))
    assert plants.plant(first.id) == before


def test_what_stands_at_the_same_spot(members: object) -> None:
    one, two = plant_one("One", "plum", spot="Hole"), plant_one("Two", "plum", spot="hole")
    gone = plant_one("Before", "plum", spot="Hole", state="gone")
    assert [other.name for other in kin.kin(one.id).beside] == ["Before", "Two"]
    assert kin.kin(plant_one("Alone", "plum").id) == kin.Kin()
    before = changes.page_changes()
    plants.change_plant(two.id, PlantFacts("Two", "plum", spot="Elsewhere"))
    assert stale_after(before) == {one.id, two.id, gone.id}


def test_a_bed_is_not_named_plant_by_plant_and_stays_fresh(members: object) -> None:
    first = plant_one("0", "strawberry", spot="Bed")
    for number in range(1, kin.MOST_BESIDE + 4):
        before = changes.page_changes()
        named_before = kin.kin(first.id)
        added = plant_one(str(number), "strawberry", spot="Bed")
        # Whenever the page tells another thing, it is stale.
        assert (kin.kin(first.id) != named_before) <= (first.id in stale_after(before))
        last_stale = stale_after(before)
    assert kin.kin(first.id).beside == ()
    assert kin.kin(first.id).many_beside
    assert last_stale == {added.id}
