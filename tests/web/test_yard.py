"""The settings of the yard."""

import pytest

from tests.cast import Cast
from walkabout.records import changes, yards
from walkabout.records.plants import Plant
from walkabout.records.yards import FrostDate

FACTS = {
    "name": "Long Meadow",
    "units": "us",
    "latitude": "42.6",
    "longitude": "-76.4",
    "timezone": "America/New_York",
    "last_frost": "about 05-12",
    "first_frost": "10-06",
}


def test_the_owner_changes_the_yard_and_every_page_is_new(cast: Cast, plant: Plant) -> None:
    form = cast.owner.get("/yard/settings").text
    for value in FACTS.values():
        assert f'value="{value}"' in form
    before = changes.page_changes()[plant.id]
    page = cast.owner.get(f"/plants/{plant.id}").headers["ETag"]
    changed = {
        **FACTS,
        "name": "Short Meadow",
        "units": "metric",
        "timezone": "Europe/London",
        "first_frost": "",
    }
    assert cast.owner.post("/yard/settings", changed).status_code == 302
    yard = yards.the_yard()
    assert (yard.name, yard.units, yard.timezone) == ("Short Meadow", "metric", "Europe/London")
    assert (yard.last_frost, yard.first_frost, yard.frost_free) == (FrostDate(5, 12, about=True), None, False)
    assert changes.page_changes()[plant.id] > before
    again = cast.owner.get(f"/plants/{plant.id}", headers={"If-None-Match": page})
    assert again.status_code == 200
    # 02:30 UTC on 25 November is that day in London already (tz database).
    assert 'data-today="2026-11-25"' in again.text


def test_a_yard_without_frost(cast: Cast) -> None:
    free = {**FACTS, "frost_free": "y", "last_frost": "", "first_frost": ""}
    assert cast.owner.post("/yard/settings", free).status_code == 302
    yard = yards.the_yard()
    assert (yard.frost_free, yard.last_frost, yard.first_frost) == (True, None, None)
    assert cast.owner.post("/yard/settings", FACTS).status_code == 302
    assert not yards.the_yard().frost_free


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"name": ""}, "A name has"),
        ({"latitude": "91"}, "is not a latitude"),
        ({"longitude": "here"}, "is not a longitude"),
        ({"timezone": "America/New York City"}, "There is no time zone"),
        ({"units": "cubits"}, "Not a valid choice"),
        ({"last_frost": "13-40"}, "is not a frost date"),
        ({"last_frost": "10-06", "first_frost": "05-12"}, "look exchanged"),
        ({"frost_free": "y"}, "Take one of them away"),
    ],
)
def test_wrong_settings_are_told_and_nothing_is_changed(
    cast: Cast, wrong: dict[str, str], words: str
) -> None:
    before = yards.the_yard()
    answer = cast.owner.post("/yard/settings", {**FACTS, **wrong})
    assert answer.status_code == 422
    assert words in answer.text
    assert yards.the_yard() == before


def test_nobody_else_changes_it(cast: Cast) -> None:
    assert cast.keeper.get("/yard/settings").status_code == 403
    token = cast.keeper.token("/plants/add")
    assert cast.keeper.client.post("/yard/settings", data={**FACTS, "csrf_token": token}).status_code == 403
    for outsider in cast.outsiders:
        assert outsider.get("/yard/settings").status_code == 302
