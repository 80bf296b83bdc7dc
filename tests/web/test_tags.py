"""The addresses that tags print.

Source for the case of host and path: RFC 3986 sections 3.1, 3.2.2 and 6.2.2.1 (a path is case-sensitive, so both
/T/ and /t/ are routes).
"""

import pytest

from tests.cast import NOW, Cast
from walkabout.records import tags
from walkabout.records.plants import Plant
from walkabout.tags.codes import make_code


@pytest.mark.parametrize("shape", ["/T/{0}", "/t/{0}", "/t/{1}", "/T/{2}"])
def test_a_tag_opens_its_plant_in_every_spelling(cast: Cast, plant: Plant, shape: str) -> None:
    code = plant.code or ""
    address = shape.format(code, code.lower(), f"{code[:3]}-{code[3:]}")
    answer = cast.keeper.get(address)
    assert answer.status_code == 200
    assert f'data-plant="{plant.id}"' in answer.text
    assert answer.data == cast.keeper.get(f"/plants/{plant.id}").data


def test_a_stranger_gets_one_answer_for_every_code(cast: Cast, plant: Plant) -> None:
    retired = tags.retire_tag(tags.issue_tag(plant.id, make_code).code, NOW).code
    for outsider in cast.outsiders:
        answers = [outsider.get(f"/T/{code}") for code in (plant.code, retired, make_code(), "nonsense")]
        assert {answer.status_code for answer in answers} == {200}
        assert len({answer.text.replace(answer.request.path, "") for answer in answers}) == 1
        for answer in answers:
            assert "This yard is private" in answer.text
            assert plant.name not in answer.text
            assert "Long Meadow" not in answer.text
            assert "X-Walkabout-Person" not in answer.headers


def test_an_unknown_tag_says_so(cast: Cast, plant: Plant) -> None:
    code = make_code()
    answer = cast.keeper.get(f"/T/{code}")
    assert answer.status_code == 404
    assert "This tag is not known here" in answer.text
    assert f"{code[:3]}-{code[3:]}" in answer.text


def test_a_mistyped_code_says_which_group_to_look_at(cast: Cast, plant: Plant) -> None:
    code = plant.code or ""
    wrong = ("0" if code[0] != "0" else "1") + code[1:]
    assert "Compare both groups" in cast.keeper.get(f"/T/{wrong}").text
    assert "the first three letters" in cast.keeper.get(f"/T/U{code[1:]}").text
    assert "the last four letters" in cast.keeper.get(f"/T/{code[:6]}U").text
    assert cast.keeper.get("/T/K7M").status_code == 404


def test_a_retired_tag_leads_to_the_plant_and_its_present_tag(cast: Cast, plant: Plant) -> None:
    old = plant.code or ""
    new = tags.issue_tag(plant.id, make_code).code
    tags.retire_tag(old, NOW)
    answer = cast.keeper.get(f"/T/{old}")
    assert answer.status_code == 410
    assert "This tag is retired" in answer.text
    assert f'href="/plants/{plant.id}"' in answer.text
    assert f"{new[:3]}-{new[3:]}" in answer.text
    assert cast.keeper.get(f"/T/{new}").status_code == 200


def test_a_typed_code_is_led_to_its_tag(cast: Cast, plant: Plant) -> None:
    answer = cast.keeper.get(f"/tags/find?code=+{(plant.code or '').lower()}+")
    assert answer.status_code == 302
    assert cast.keeper.get(answer.location).status_code == 200
    assert cast.keeper.get(cast.keeper.get("/tags/find").location).status_code == 404


def test_markup_in_a_code_is_shown_as_text(cast: Cast) -> None:
    page = cast.keeper.get("/T/<script>alert(1)").text
    assert "<script>alert" not in page
