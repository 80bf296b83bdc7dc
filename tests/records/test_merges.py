"""Plants that were recorded twice: what is told of the one that survives, and going back."""

from collections.abc import Callable
from datetime import date

import pytest

from tests.cast import NOW, plant_one
from walkabout.errors import BadInput, NotFound
from walkabout.records import changes, entries, kin, limbs, merges, plants, stories, tags, tasks, walk
from walkabout.records.people import Person
from walkabout.records.plants import Plant

Making = Callable[..., entries.NewEntry]


@pytest.fixture
def twice(plant: Plant) -> Plant:
    """The plant recorded a second time."""
    return plant_one("Fig at the gate", "fig", spot="Gate")


def told(plant_id: str) -> list[str]:
    merged = kin.kin(plant_id).merged_ids
    return [line.entry.id for line in stories.story(plant_id, 10, merged=merged)]


def test_the_survivor_tells_what_was_noted_of_both(plant: Plant, twice: Plant, make_entry: Making) -> None:
    entries.keep_entries(
        [
            make_entry("a", 1, seen_on=date(2026, 3, 1)),
            make_entry("b", 2, seen_on=date(2026, 3, 2), plant_id=twice.id),
            make_entry("c", 3, seen_on=date(2026, 3, 3), kind="pest", subject="scale", plant_id=twice.id),
        ]
    )
    assert merges.merge_plants(twice.id, plant.id) == plant.id
    assert told(plant.id) == ["c", "b", "a"]
    merged = kin.kin(plant.id).merged_ids
    assert merged == (twice.id,)
    assert stories.latest(plant.id, "note", merged=merged).id == "b"  # type: ignore[union-attr]
    by_subject = stories.latest_by_subject(plant.id, ["pest"], date(2026, 1, 1), merged=merged)
    assert [entry.id for entry in by_subject] == ["c"]
    assert [name.name for name in plants.plants()] == [plant.name]
    assert {stand.plant_id for stand in walk.stands()} == set(changes.page_changes()) == {plant.id}


def test_an_entry_that_still_arrives_for_it_is_told_and_makes_the_page_stale(
    plant: Plant, twice: Plant, make_entry: Making
) -> None:
    merges.merge_plants(twice.id, plant.id)
    before = changes.page_changes()[plant.id]
    entries.keep_entries([make_entry("late", plant_id=twice.id)])
    assert changes.page_changes()[plant.id] > before
    assert told(plant.id) == ["late"]


def test_tags_tasks_and_limbs_lead_to_the_survivor(
    plant: Plant, twice: Plant, members: tuple[Person, Person], make_entry: Making
) -> None:
    limb = limbs.add_limb(twice.id, limbs.LimbFacts("East limb"))
    cut = tasks.add_task(twice.id, "Cut back", date(2026, 2, 1), None, members[0].id)
    merges.merge_plants(twice.id, plant.id)
    merged = kin.kin(plant.id).merged_ids
    assert tags.tag(twice.code or "").plant_id == plant.id  # type: ignore[union-attr]
    assert {tag.plant_id for tag in tags.tags()} == {plant.id}
    assert {tag.code for tag in tags.tags_of(plant.id, merged)} == {plant.code, twice.code}
    assert limbs.limbs_of(plant.id, merged) == [limb]
    assert tasks.open_tasks(plant.id, merged) == [cut]
    entries.keep_entries([make_entry("done", kind="done", subject=cut.id)])  # noted on the survivor
    assert tasks.open_tasks(plant.id, merged) == []


def test_merging_goes_on_through_a_merged_plant_and_never_round(plant: Plant, twice: Plant) -> None:
    third = plant_one("Third time", "fig")
    merges.merge_plants(twice.id, plant.id)
    assert merges.merge_plants(third.id, twice.id) == plant.id
    assert merges.survivors() == {twice.id: plant.id, third.id: plant.id}
    for one, other in ((plant, twice), (twice, third), (plant, plant), (twice, plant)):
        with pytest.raises(BadInput, match="one plant already"):
            merges.merge_plants(one.id, other.id)
    with pytest.raises(NotFound):
        merges.merge_plants(plant.id, "unknown")


def test_a_survivor_that_is_merged_takes_its_own_along_and_an_undo_gives_them_back(
    plant: Plant, twice: Plant
) -> None:
    third = plant_one("Third time", "fig")
    merges.merge_plants(third.id, twice.id)
    merges.merge_plants(twice.id, plant.id)
    assert set(kin.kin(plant.id).merged_ids) == {twice.id, third.id}
    assert merges.survivor(third.id) == plant.id
    merges.undo_merge(twice.id)
    assert kin.kin(plant.id).merged_ids == ()
    assert kin.kin(twice.id).merged_ids == (third.id,)
    assert tags.tag(third.code or "").plant_id == twice.id  # type: ignore[union-attr]
    with pytest.raises(NotFound, match="not merged"):
        merges.undo_merge(twice.id)


def test_merging_and_undoing_make_the_pages_that_tell_of_it_stale(plant: Plant, twice: Plant) -> None:
    neighbour = plant_one("Pear at the gate", "european_pear", spot="Gate")
    before = changes.page_changes()
    merges.merge_plants(twice.id, plant.id)
    between = changes.page_changes()
    assert between[plant.id] > before[plant.id]
    assert between[neighbour.id] > before[neighbour.id]  # it names what stands beside it
    merges.undo_merge(twice.id)
    after = changes.page_changes()
    assert after[plant.id] > between[plant.id]
    assert after[neighbour.id] > between[neighbour.id]
    assert after[twice.id] > 0
    assert tags.retire_tag(twice.code or "", NOW).plant_id == twice.id


def test_a_mother_that_turned_out_to_be_her_daughter_is_not_named_as_her_mother(plant: Plant) -> None:
    daughter = plant_one("Daughter", "fig", raised_from=plant.id)
    merges.merge_plants(plant.id, daughter.id)
    assert kin.kin(daughter.id).raised_from is None
