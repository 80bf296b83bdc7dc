"""One note on many plants: the groups, and noting without script."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import TYPE_CHECKING, Any

import pytest

from tests.cast import TODAY, Actor, Cast, new_id
from walkabout.care.many import groups
from walkabout.care.walk import in_walking_order
from walkabout.errors import BadInput
from walkabout.records import entries, plants, stories
from walkabout.records.plants import Plant, PlantFacts
from walkabout.records.walk import stands
from walkabout.sync import pages
from walkabout.web.many_keeping import keep_on_many

if TYPE_CHECKING:
    from flask import Flask

_HIDDEN = re.compile(r'name="entry_id"[^>]*value="([^"]+)"')


@pytest.fixture
def row(make_plant: Callable[..., Plant]) -> list[Plant]:
    """Three citrus of a row, one of them in a pot on its own roots, and a fig elsewhere."""
    return [
        make_plant("Owari", "mandarin", raised="grafted", spot="Citrus row, 1"),
        make_plant("Meyer", "lemon", raised="cutting", spot="Citrus row, 2", container=True),
        make_plant("Fukushu", "kumquat", raised="grafted", spot="Citrus row, 10"),
        make_plant("Old gate fig", "fig", raised="cutting", spot="Gate"),
    ]


def address(name: str) -> str:
    """The page of the group of that name."""
    return next(f"/many/{group.key}" for group in groups(stands()) if group.name == name)


def press(actor: Actor, group: str, kind: str, ticked: list[Plant], **answers: Any) -> Any:
    """Fill in the online form of a group and press its button."""
    form = f"{address(group)}/note/{kind}"
    page = actor.get(form)
    (press_id,) = _HIDDEN.findall(page.text)
    fields = {
        "entry_id": press_id,
        "seen_on": TODAY.isoformat(),
        "plant": [one.id for one in ticked],
        **answers,
    }
    return actor.post(form, fields)


def told(plant: Plant) -> list[tuple[str, dict[str, Any]]]:
    """What stands of a plant."""
    return [(line.entry.kind, line.entry.details) for line in stories.story(plant.id, 10)]


def test_the_groups_are_told_with_their_counts(cast: Cast, row: list[Plant]) -> None:
    page = cast.keeper.get("/many").text
    for name, count in (("Citrus row", 3), ("All citrus", 3), ("All growing plants", 4)):
        assert re.search(rf'{name} <span class="many">{count}</span>', page), name
        assert f'href="{address(name)}"' in page
    assert "Gate" not in page


def test_the_yard_and_every_plant_lead_there(cast: Cast, row: list[Plant]) -> None:
    for path in ("/", f"/plants/{row[0].id}"):
        assert 'href="/many"' in cast.keeper.get(path).text


def test_a_groups_page_has_its_plants_ticked_and_its_likely_notes(cast: Cast, row: list[Plant]) -> None:
    page = cast.keeper.get(address("All citrus")).text
    assert page.count(" checked><span>") >= 3
    for plant in row[:3]:
        assert re.search(rf'value="{plant.id}" checked', page)
    assert row[3].id not in page
    assert "Watered" in page
    assert "Citrus leafminer" in page


def test_these_begins_with_nothing_ticked(cast: Cast, row: list[Plant]) -> None:
    page = cast.keeper.get("/many/these").text
    assert all(re.search(rf'value="{plant.id}" data-in="[0-9 ]*">', page) for plant in row)
    assert not re.search(r'name="plant"[^>]* checked', page)


def test_a_group_with_a_plant_on_its_own_roots_is_not_asked_for_the_graft_union(
    cast: Cast, row: list[Plant]
) -> None:
    assert "lowest_living" not in cast.keeper.get(f"{address('All citrus')}/note/damage").text
    plants.change_plant(row[1].id, PlantFacts("Meyer", "lemon", raised="grafted", spot="Citrus row, 2"))
    assert "lowest_living" in cast.keeper.get(f"{address('All citrus')}/note/damage").text


def test_the_form_keeps_an_entry_for_each_ticked_plant_in_one_go(cast: Cast, row: list[Plant]) -> None:
    answer = press(cast.keeper, "Citrus row", "pest", row[:2], problem="citrus_leafminer", seen="yes")
    assert answer.status_code == 302, answer.text
    page = cast.keeper.get(answer.location)
    assert "Kept on 2 plants" in page.text
    assert "Citrus leafminer" in page.text
    assert [told(plant) for plant in row[:3]] == [[("pest", {"problem": "citrus_leafminer"})]] * 2 + [[]]
    ids = {line.entry.id for plant in row[:2] for line in stories.story(plant.id, 10)}
    assert len(ids) == 2
    assert all(one[14] == "7" for one in ids)  # RFC 9562, section 5.7: the version


def test_several_works_stand_ready_by_the_address(cast: Cast, row: list[Plant]) -> None:
    page = cast.keeper.get(f"{address('Citrus row')}/note/done?work=watered&work=fed").text
    assert re.search(r'value="watered"[^>]* checked', page)
    assert re.search(r'value="fed"[^>]* checked', page)


def test_the_same_form_sent_twice_keeps_once_and_sent_with_other_answers_keeps_more(
    cast: Cast, row: list[Plant]
) -> None:
    form = f"{address('Citrus row')}/note/note"
    (press_id,) = _HIDDEN.findall(cast.keeper.get(form).text)
    fields = {"entry_id": press_id, "seen_on": TODAY.isoformat(), "plant": [one.id for one in row[:3]]}
    first = cast.keeper.post(form, {**fields, "words": "Ants"})
    again = cast.keeper.post(form, {**fields, "words": "Ants"})
    assert again.location == first.location
    assert entries.count_entries() == 3
    other = cast.keeper.post(form, {**fields, "words": "No ants"})
    assert other.location != first.location
    assert entries.count_entries() == 6


def test_undo_takes_back_what_still_stands_and_twice_changes_nothing(cast: Cast, row: list[Plant]) -> None:
    kept = press(cast.keeper, "Citrus row", "note", row[:3], words="Ants").location
    (line,) = stories.story(row[0].id, 10)
    withdrawn = cast.keeper.post(f"/entries/{line.entry.id}/withdraw", page=f"/entries/{line.entry.id}")
    assert withdrawn.status_code == 302
    assert "Kept on 2 plants" in cast.keeper.get(kept).text
    cast.keeper.post(f"{kept}/withdraw", page=kept)
    assert [told(plant) for plant in row] == [[], [], [], []]
    assert entries.count_entries() == 6
    page = cast.keeper.get(kept).text
    assert "Taken back on 3 plants" in page
    assert "/withdraw" not in page


def test_nothing_ticked_is_said_and_keeps_nothing(cast: Cast, row: list[Plant]) -> None:
    answer = press(cast.keeper, "Citrus row", "note", [], words="Ants")
    assert answer.status_code == 422
    assert "No plant is ticked" in answer.text
    assert "Ants" in answer.text
    assert entries.count_entries() == 0


def test_bad_answers_are_said_and_keep_nothing_on_any_plant(cast: Cast, row: list[Plant]) -> None:
    answer = press(cast.keeper, "Citrus row", "harvest", row[:3], count="many")
    assert answer.status_code == 422
    assert "Nothing is kept yet" in answer.text
    assert entries.count_entries() == 0


def test_a_plant_that_does_not_take_the_answers_is_named_and_nothing_is_kept_on_any(
    app: Flask, cast: Cast, row: list[Plant]
) -> None:
    # As when the form was drawn before somebody wrote down that the lemon stands on its own roots.
    chosen = [stand for stand in in_walking_order(stands()) if stand.name != "Old gate fig"]
    cookie = cast.keeper.client.get_cookie("walkabout")
    assert cookie is not None
    details = {"cause": "frost", "lowest_living": "above"}
    with (
        app.test_request_context("/", headers={"Cookie": f"walkabout={cookie.value}"}),
        pytest.raises(BadInput, match=r"Meyer cannot be noted on so: .* Nothing is kept yet"),
    ):
        keep_on_many(chosen, "damage", details, TODAY, new_id())
    assert entries.count_entries() == 0


def test_a_plant_of_another_group_cannot_be_slipped_in(cast: Cast, row: list[Plant]) -> None:
    answer = press(cast.keeper, "Citrus row", "note", [row[0], row[3]], words="Ants")
    assert "Kept on 1 plant" in cast.keeper.get(answer.location).text
    assert told(row[3]) == []


def test_no_such_group_kind_or_press_is_said(cast: Cast, row: list[Plant]) -> None:
    unknown = row[0].id
    for path in (
        "/many/crop-nothing",
        "/many/all/note/withdrawal",
        "/many/all/note/x",
        f"/many/kept/{unknown}",
        "/many/kept/x",
    ):
        assert cast.keeper.get(path).status_code == 404, path


def test_outsiders_are_led_to_the_sign_in_and_a_post_without_a_token_keeps_nothing(
    cast: Cast, row: list[Plant]
) -> None:
    for outsider in cast.outsiders:
        for path in ("/many", "/many/all", "/many/all/note/note", f"/many/kept/{row[0].id}"):
            assert outsider.get(path).location.startswith("/sign-in"), path
    bare = {"words": "Ants", "plant": row[0].id, "seen_on": TODAY.isoformat()}
    assert cast.keeper.client.post("/many/all/note/note", data=bare).status_code == 400
    assert entries.count_entries() == 0


def test_a_groups_page_is_unchanged_until_a_plant_of_it_changes(cast: Cast, row: list[Plant]) -> None:
    path = address("Citrus row")
    etag = cast.keeper.get(path).headers["ETag"]

    def asked() -> int:
        return cast.keeper.get(path, headers={"If-None-Match": etag}).status_code

    press(cast.keeper, "Citrus row", "note", row[:3], words="Ants")
    plants.change_plant(row[3].id, PlantFacts("Gate fig", "fig", spot="Gate"))
    assert asked() == 304
    plants.change_plant(row[0].id, PlantFacts("Owari satsuma", "mandarin", spot="Citrus row, 1"))
    assert asked() == 200


def test_the_list_names_the_groups_and_the_same_versions_as_their_pages(cast: Cast, row: list[Plant]) -> None:
    keeper = cast.keeper.person
    assert keeper is not None
    listed = {page.path: page.version for page in pages.listing(keeper.id, TODAY).pages}
    for path in ("/many", *(f"/many/{group.key}" for group in groups(stands()))):
        assert cast.keeper.get(path).headers["ETag"] == f'W/"{listed[path]}.{keeper.id}"'


def test_an_entry_makes_no_groups_page_stale(cast: Cast, row: list[Plant]) -> None:
    keeper = cast.keeper.person
    assert keeper is not None

    def versions() -> dict[str, str]:
        listed = pages.listing(keeper.id, TODAY).pages
        return {page.path: page.version for page in listed if page.path.startswith("/many")}

    before = versions()
    press(cast.keeper, "Citrus row", "note", row[:3], words="Ants")
    assert versions() == before


def test_the_page_of_a_group_makes_as_many_queries_for_many_plants_as_for_few(
    cast: Cast,
    row: list[Plant],
    make_plant: Callable[..., Plant],
    count_queries: Callable[[], AbstractContextManager[list[str]]],
) -> None:
    with count_queries() as few:
        cast.keeper.get("/many/all")
    for number in range(20):
        make_plant(f"Apple {number}", "apple")
    with count_queries() as many:
        cast.keeper.get("/many/all")
    assert len(few) == len(many) <= 12
