"""A plant that was recorded twice."""

import re
from collections.abc import Callable

from tests.cast import TODAY, Cast, new_entry
from walkabout.records import plants
from walkabout.records.entries import keep_entries
from walkabout.records.people import Person
from walkabout.records.plants import Plant


def test_a_double_is_told_with_the_record_that_stays(
    cast: Cast, plant: Plant, make_plant: Callable[..., Plant], members: tuple[Person, Person]
) -> None:
    twice = make_plant("Gate fig", "fig")
    keep_entries([new_entry(twice, members[0], "note", words="Scale on two shoots")])
    answer = cast.keeper.post(f"/plants/{twice.id}/merge", {"other": plant.name})
    assert answer.status_code == 302
    page = cast.keeper.get(f"/plants/{plant.id}").text
    assert "Scale on two shoots" in page
    assert "Gate fig" in page
    for address in (f"/plants/{twice.id}", f"/plants/{twice.id}?kept=x"):
        led = cast.keeper.get(address)
        assert led.status_code == 302
        assert led.location.startswith(f"/plants/{plant.id}")
    assert f'data-plant="{plant.id}"' in cast.keeper.get(f"/T/{twice.code}").text
    assert ">Gate fig</b>" not in cast.keeper.get("/").text
    # What is about the double leads to the plant, and a note that still names it is told there.
    assert cast.keeper.get(f"/plants/{twice.id}/limbs").status_code == 200
    noted = {"words": "Late note", "seen_on": TODAY.isoformat()}
    assert cast.keeper.post(f"/plants/{twice.id}/note/note", noted).status_code == 302
    assert "Late note" in cast.keeper.get(f"/plants/{plant.id}").text


def test_the_owner_undoes_it_and_nobody_else(
    cast: Cast, plant: Plant, make_plant: Callable[..., Plant]
) -> None:
    twice = make_plant("Gate fig", "fig")
    cast.keeper.post(f"/plants/{twice.id}/merge", {"other": plant.code})
    undo, page = f"/plants/{twice.id}/merge/undo", f"/plants/{plant.id}/merge"
    assert undo not in cast.keeper.get(page).text
    assert cast.keeper.post(undo, page=page).status_code == 403
    assert undo in cast.owner.get(page).text
    assert cast.owner.post(undo, page=page).status_code == 302
    assert cast.keeper.get(f"/plants/{twice.id}").status_code == 200
    assert cast.owner.post(undo, page=page).status_code == 404


def test_what_is_no_other_plant_is_refused(
    cast: Cast, plant: Plant, make_plant: Callable[..., Plant]
) -> None:
    for _ in range(2):
        make_plant("Pear", "european_pear")
    for other, words in (
        ("", "Write the name"),
        ("Nothing like it", "No plant of this yard"),
        ("pear", "Several plants"),
        (plant.name, "one plant already"),
    ):
        answer = cast.keeper.post(f"/plants/{plant.id}/merge", {"other": other})
        assert answer.status_code == 422
        assert re.search(words, answer.text)
    assert plants.count_plants() == 3
