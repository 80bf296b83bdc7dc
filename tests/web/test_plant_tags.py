"""Tags that are taken down, hung on another plant, or made."""

from collections.abc import Callable

from tests.cast import Cast
from tests.web.test_plants import FACTS
from walkabout.records import plants, tags
from walkabout.records.plants import Plant, PlantFacts


def test_the_tag_of_a_plant_that_died_is_offered_and_hung_on_another(cast: Cast) -> None:
    died = cast.keeper.post("/plants/add", FACTS).location.split("/")[-1]
    code = plants.plant(died).code or ""  # type: ignore[union-attr]
    young = plants.add_plant(PlantFacts("Young quince", "quince"))
    offered = cast.keeper.post(
        f"/plants/{died}/edit", {**FACTS, "state": "dead", "ended": "2026-02", "ended_why": "voles"}
    )
    assert offered.location == f"/plants/{died}/tags"
    page = cast.keeper.get(offered.location).text
    assert "Its story stays" in page
    assert "Hang it on another plant" in page
    assert "dead since Feb 2026: voles" in cast.keeper.get(f"/plants/{died}").text
    given = cast.keeper.post(
        f"/plants/{died}/tags/{code}/give", {"other": "young quince"}, page=offered.location
    )
    assert given.location == f"/plants/{young.id}/tags"
    assert f'data-plant="{young.id}"' in cast.keeper.get(f"/T/{code}").text
    # The dead plant is found all the same.
    assert ">Well quince</b>" in cast.keeper.get("/?state=dead").text
    assert plants.plant(died).code is None  # type: ignore[union-attr]


def test_a_tag_is_taken_down_and_a_new_one_made(cast: Cast, plant: Plant) -> None:
    page = f"/plants/{plant.id}/tags"
    assert "Make it a tag" not in cast.keeper.get(page).text
    assert cast.keeper.post(f"{page}/{plant.code}/retire", page=page).status_code == 302
    assert cast.keeper.get(f"/T/{plant.code}").status_code == 410
    assert "Make it a tag" in cast.keeper.get(page).text
    assert cast.keeper.post(f"{page}/new", page=page).status_code == 302
    new = plants.plant(plant.id).code  # type: ignore[union-attr]
    assert new not in (None, plant.code)


def test_a_tag_is_hung_only_where_none_hangs(
    cast: Cast, plant: Plant, make_plant: Callable[..., Plant]
) -> None:
    other = make_plant("Pear", "european_pear")
    page = f"/plants/{plant.id}/tags"
    answer = cast.keeper.post(f"{page}/{plant.code}/give", {"other": "Pear"}, page=page)
    assert answer.status_code == 422
    assert "bears a tag already" in answer.text
    assert cast.keeper.post(f"{page}/{other.code}/retire", page=page).status_code == 404
    assert tags.tag(other.code or "").state == "hanging"  # type: ignore[union-attr]
    for outsider in cast.outsiders:
        assert outsider.get(page).status_code == 302


def test_a_plant_gets_its_tag_when_it_grows(cast: Cast) -> None:
    wanted = cast.keeper.post("/plants/add", {**FACTS, "state": "wanted"}).location.split("/")[-1]
    assert plants.plant(wanted).code is None  # type: ignore[union-attr]
    assert "Wanted; not planted yet." in cast.keeper.get(f"/plants/{wanted}").text
    page = f"/plants/{wanted}/tags"
    assert "gets no tag" in cast.keeper.get(page).text
    cast.keeper.post(f"/plants/{wanted}/edit", {**FACTS, "state": "ordered"})
    assert plants.plant(wanted).code is None  # type: ignore[union-attr]
    cast.keeper.post(f"/plants/{wanted}/edit", FACTS)
    assert plants.plant(wanted).code is not None  # type: ignore[union-attr]
