"""The limbs of a plant: recording them, their tags, notes about them."""

import re

import pytest

from tests.cast import TODAY, Cast
from walkabout.records import limbs, plants, tags
from walkabout.records.plants import Plant

FACTS = {
    "name": "Low limb",
    "cultivar": "Stanley",
    "crop": "European plum",
    "grafted": "2024-03",
    "state": "growing",
}


@pytest.fixture
def low(cast: Cast, plant: Plant) -> limbs.Limb:
    """A limb with a tag of its own."""
    assert cast.keeper.post(f"/plants/{plant.id}/limbs", FACTS).status_code == 302
    (added,) = limbs.limbs_of(plant.id)
    page = f"/plants/{plant.id}/limbs"
    assert cast.keeper.post(f"{page}/{added.id}/tag", page=page).status_code == 302
    return limbs.limbs_of(plant.id)[0]


def test_a_limb_is_recorded_and_shown(cast: Cast, plant: Plant, low: limbs.Limb) -> None:
    assert (low.name, low.crop, low.cultivar, low.grafted, low.state) == (
        "Low limb",
        "plum_european",
        "Stanley",
        "2024-03",
        "growing",
    )
    page = cast.keeper.get(f"/plants/{plant.id}").text
    assert "<span>Low limb</span>" in page
    assert "European plum, Stanley · grafted Mar 2024" in page


def test_a_limb_that_ends_keeps_its_history_and_gives_up_its_tag(
    cast: Cast, plant: Plant, low: limbs.Limb
) -> None:
    address = f"/plants/{plant.id}/limbs/{low.id}"
    form = cast.keeper.get(address).text
    assert 'value="European plum"' in form
    assert cast.keeper.post(address, {**FACTS, "state": "dead"}).status_code == 302
    (ended,) = limbs.limbs_of(plant.id)
    assert (ended.state, ended.code) == ("dead", None)
    assert "dead" in cast.keeper.get(f"/plants/{plant.id}").text
    assert tags.tag(low.code or "").state == "retired"  # type: ignore[union-attr]
    assert cast.keeper.get(f"/T/{low.code}").status_code == 410
    assert 'name="limb"' not in cast.keeper.get(f"/plants/{plant.id}").text


def test_its_tag_opens_the_plant_with_the_limb_marked(cast: Cast, plant: Plant, low: limbs.Limb) -> None:
    answer = cast.keeper.get(f"/T/{low.code}")
    assert answer.status_code == 200
    assert f'data-plant="{plant.id}"' in answer.text
    assert re.search(rf'data-limb="{low.id}"[^>]* aria-current="true"', answer.text)
    # What points at a limb is kept by no phone; the kept page is one for all tags of the plant.
    assert "X-Walkabout-Person" not in answer.headers
    plain = cast.keeper.get(f"/T/{plant.code}")
    assert "aria-current" not in plain.text
    assert f'data-limb-tags="{low.code}"' in plain.text


def test_a_note_says_which_limb(cast: Cast, plant: Plant, low: limbs.Limb) -> None:
    address = f"/plants/{plant.id}/note/note"
    assert "Low limb" in cast.keeper.get(address).text
    noted = {"words": "Canker", "limb": low.id, "seen_on": TODAY.isoformat()}
    assert cast.keeper.post(address, noted).status_code == 302
    page = cast.keeper.get(f"/plants/{plant.id}").text
    assert "Canker, on Low limb" in page
    entry = re.search(r'href="(/entries/[0-9a-f-]{36})"', page)
    assert entry is not None
    assert "Low limb" in cast.keeper.get(entry[1]).text
    assert f'value="{low.id}" checked' in cast.keeper.get(f"{entry[1]}/correct").text


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"name": " "}, "Say which limb"),
        ({"grafted": "about 2020"}, "without about"),
        ({"grafted": "2099"}, "still to come"),
        ({"state": "wanted"}, "Nothing is changed yet"),
    ],
)
def test_wrong_answers_are_told_and_nothing_is_kept(
    cast: Cast, plant: Plant, wrong: dict[str, str], words: str
) -> None:
    answer = cast.keeper.post(f"/plants/{plant.id}/limbs", {**FACTS, **wrong})
    assert answer.status_code == 422
    assert words in answer.text
    assert limbs.limbs_of(plant.id) == []


def test_the_limb_of_another_plant_is_not_found_here(cast: Cast, plant: Plant, low: limbs.Limb) -> None:
    other = plants.add_plant(plants.PlantFacts("Pear", "european_pear"))
    assert cast.keeper.get(f"/plants/{other.id}/limbs/{low.id}").status_code == 404
    for outsider in cast.outsiders:
        assert outsider.get(f"/plants/{plant.id}/limbs").status_code == 302
