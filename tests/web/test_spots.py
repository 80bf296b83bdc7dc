"""The spots of the yard. NIST SP 811 appendix B.8 for the foot."""

from collections.abc import Callable

import pytest

from tests.cast import Cast
from walkabout.records import plants, spots
from walkabout.records.plants import Plant


@pytest.fixture
def gate(make_plant: Callable[..., Plant]) -> str:
    """The id of a spot with a fig."""
    spot = make_plant("Old gate fig", "fig", spot="Gate").spot
    assert spot is not None
    return spot.id


def test_a_spot_is_renamed_and_placed_in_the_yards_units(cast: Cast, gate: str) -> None:
    assert "1 growing" in cast.keeper.get("/yard/spots").text
    address = f"/yard/spots/{gate}"
    assert cast.keeper.post(address, {"name": "By the gate", "x": "10", "y": ""}).status_code == 302
    found = spots.spot_by_name("By the gate")
    assert found is not None
    assert (found.id, found.x_m, found.y_m) == (gate, pytest.approx(3.048), None)
    assert 'value="10.00"' in cast.keeper.get(address).text
    assert "By the gate" in cast.keeper.get("/").text


def test_a_name_that_is_taken_is_refused(cast: Cast, gate: str) -> None:
    spots.save_spot("Wall")
    for name, words in (("wall", "merge the two"), ("  ", "Give it a name"), ("", "Give it a name")):
        answer = cast.keeper.post(f"/yard/spots/{gate}", {"name": name})
        assert answer.status_code == 422
        assert words in answer.text


def test_two_spots_become_one_and_an_empty_one_goes(cast: Cast, gate: str) -> None:
    wall, empty = spots.save_spot("Wall"), spots.save_spot("Nowhere")
    page = f"/yard/spots/{gate}"
    merged = cast.keeper.post(f"{page}/merge", {"other": wall.id}, page=page)
    assert merged.location == f"/yard/spots/{wall.id}"
    assert [plant.spot for plant in plants.plants()] == [wall]
    assert cast.keeper.get(page).status_code == 404
    stays = cast.keeper.post(f"/yard/spots/{wall.id}/remove", page=f"/yard/spots/{wall.id}")
    assert "so it stays" in cast.keeper.get(stays.location).text
    cast.keeper.post(f"/yard/spots/{empty.id}/remove", page=f"/yard/spots/{empty.id}")
    assert [spot.name for spot in spots.spots()] == ["Wall"]


def test_outsiders_see_no_spots(cast: Cast, gate: str) -> None:
    for outsider in cast.outsiders:
        for address in ("/yard/spots", f"/yard/spots/{gate}"):
            assert outsider.get(address).status_code == 302
