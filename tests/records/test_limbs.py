"""Limbs and the tags that hang on them."""

import pytest

from tests.cast import NOW
from walkabout.errors import NotFound
from walkabout.records import changes, limbs, plants, tags
from walkabout.records.limbs import LimbFacts
from walkabout.records.plants import Plant


def test_a_limb_is_recorded_changed_and_ended(plant: Plant) -> None:
    before = changes.page_changes()[plant.id]
    low = limbs.add_limb(plant.id, LimbFacts("Low limb", "plum_european", "Stanley", "2024-03"))
    assert (low.plant_id, low.cultivar, low.grafted, low.state, low.code) == (
        plant.id,
        "Stanley",
        "2024-03",
        "growing",
        None,
    )
    assert changes.page_changes()[plant.id] > before
    dead = limbs.change_limb(low.id, LimbFacts("Low limb", state="dead"))
    young = limbs.add_limb(plant.id, LimbFacts("Young limb"))
    assert limbs.limbs_of(plant.id) == [young, dead]
    assert limbs.limb(low.id) == dead
    with pytest.raises(NotFound):
        limbs.change_limb("unknown", LimbFacts("x"))


def test_the_tag_of_a_limb_is_not_that_of_its_plant(plant: Plant) -> None:
    low = limbs.add_limb(plant.id, LimbFacts("Low limb"))
    tags.issue_tag(plant.id, lambda: "ZZZZZZZ", limb_id=low.id)
    assert plants.plant(plant.id) == plants.plants_by_id([plant.id])[plant.id]
    assert plants.plant(plant.id).code == plant.code  # type: ignore[union-attr]
    found = tags.tag("ZZZZZZZ")
    assert found is not None
    assert (found.plant_id, found.limb_id) == (plant.id, low.id)
    assert limbs.limbs_of(plant.id)[0].code == "ZZZZZZZ"
    assert [limb.id for limb in limbs.tagged_limbs()] == [low.id]
    tags.retire_tag(plant.code or "", NOW)
    assert tags.issue_missing(lambda: "AAAAAAA") == 1  # a limb's tag is none of the plant
    limbs.change_limb(low.id, LimbFacts("Low limb", state="gone"))
    assert limbs.tagged_limbs() == []
