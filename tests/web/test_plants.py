"""The yard list, the page of a plant, adding and changing a plant.

Sources: RFC 9110 sections 8.8.3 and 13.1.2 (ETag, If-None-Match); NIST SP 811 appendix B.8 (foot, gallon).
"""

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta

import pytest
from flask import Flask

from tests.cast import NOW, TODAY, Actor, Cast, new_entry
from walkabout.entries.kinds import KINDS
from walkabout.records import plants, tasks
from walkabout.records.entries import keep_entries
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.tags.codes import read_code

MARKUP = "<img src=x onerror=alert(1)>\"'&"
FACTS = {
    "name": "Well quince",
    "crop": "quince",
    "cultivar": "Portugal",
    "rootstock": "",
    "raised": "cutting",
    "planted": "about 2021",
    "spot": "By the well",
    "x": "10",
    "y": "-2.5",
    "stands": "container",
    "volume": "15",
    "state": "growing",
}


def test_list_shows_every_plant_with_what_narrows_it(cast: Cast, make_plant: Callable[..., Plant]) -> None:
    make_plant("Old gate fig", "fig", cultivar="Brown Turkey", spot="South bed")
    make_plant("Pippin", "apple", state="dead")
    page = cast.keeper.get("/").text
    assert "1 plant<" in page
    assert re.search(r"<details class=\"folded\">\s*<summary>Dead and gone .*\(1\)", page)
    assert 'data-crop="fig"' in page
    assert 'data-state="dead"' in page
    assert "brown turkey south bed" in page  # what the script looks through
    assert "data-whole" in page


@pytest.mark.parametrize(
    ("question", "found"),
    [
        ("search=turkey", {"Old gate fig"}),
        ("search=apple", {"Pippin"}),
        ("crop=fig", {"Old gate fig"}),
        ("state=dead", {"Pippin"}),
        ("search=nothing+of+this+name", set()),
        ("search=%27%3B+DROP+TABLE+plant", set()),
        ("page=2", set()),
        ("page=-7", {"Old gate fig", "Pippin"}),
        ("page=x", {"Old gate fig", "Pippin"}),
    ],
)
def test_list_narrows_without_script(
    cast: Cast, make_plant: Callable[..., Plant], question: str, found: set[str]
) -> None:
    make_plant("Old gate fig", "fig", cultivar="Brown Turkey")
    make_plant("Pippin", "apple", state="dead")
    page = cast.keeper.get(f"/?{question}").text
    assert {name for name in ("Old gate fig", "Pippin") if f">{name}</b>" in page} == found


def test_list_narrows_by_spot_and_by_tag_code(cast: Cast, make_plant: Callable[..., Plant]) -> None:
    fig = make_plant("Old gate fig", "fig", spot="South bed")
    make_plant("Pippin", "apple")
    assert fig.spot is not None
    for question in (f"spot={fig.spot.id}", f"search={fig.code}"):
        page = cast.keeper.get(f"/?{question}").text
        assert ">Old gate fig</b>" in page
        assert ">Pippin</b>" not in page


def test_long_list_is_paged(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    from walkabout.web import plants as plant_pages

    monkeypatch.setattr(plant_pages, "PAGE_LENGTH", 2)
    plants.add_plants([plants.PlantFacts(name=f"Vine {number}", crop="grape") for number in range(5)])
    first, second, third = (cast.keeper.get(f"/?page={page}").text for page in (1, 2, 3))
    assert "5 plants" in first
    assert re.findall(r">(Vine \d)</b>", first + second + third) == [f"Vine {number}" for number in range(5)]
    assert "page=2" in first
    assert "Plants before" not in first
    assert "Plants after" not in third


def test_page_is_the_back_of_the_tag(cast: Cast, make_plant: Callable[..., Plant]) -> None:
    plant = make_plant(
        "Old gate fig",
        "fig",
        cultivar="Brown Turkey",
        raised="cutting",
        planted="2022",
        spot="South bed, spot 4",
        container=True,
        container_litres=30.0,
    )
    page = cast.keeper.get(f"/plants/{plant.id}").text
    assert plant.code is not None
    assert f"{plant.code[:3]}-{plant.code[3:]}" in page
    # Planted in 2022, so the season that began in March 2026 is its fifth (common practice for the "nth leaf").
    assert "Fig, Brown Turkey · on own roots · 5th leaf" in page
    assert "South bed, spot 4 · 7.9 gal container · planted 2022" in page  # 30 L / 3.785411784
    assert "No entries yet." in page
    assert page.count('class="choice"') >= 6


def test_page_tells_the_script_what_it_needs(
    cast: Cast, plant: Plant, members: tuple[Person, Person]
) -> None:
    page = cast.keeper.get(f"/plants/{plant.id}").text
    body = re.search(r"<body(.*?)>", page, re.DOTALL)
    assert body is not None
    facts = dict(re.findall(r'data-([a-z-]+)="([^"]*)"', body[1]))
    assert facts["person"] == members[1].id
    assert facts["person-name"] == "Kofi"
    assert facts["plant"] == plant.id
    assert facts["plant-name"] == plant.name
    assert facts["today"] == TODAY.isoformat()
    assert facts["timezone"] == "America/New_York"
    assert facts["units"] == "us"
    assert datetime.fromisoformat(facts["server-time"]) == NOW
    assert {"program", "page-version", "texts"} <= facts.keys()
    assert set(re.findall(r'data-live="([a-z]+)"', page)) == {
        "status",
        "limbs",
        "due",
        "likely",
        "story",
        "facts",
    }


def test_every_choice_opens_a_note_in_place_and_is_a_link(cast: Cast, plant: Plant) -> None:
    page = cast.keeper.get(f"/plants/{plant.id}").text
    notes = set(re.findall(r'<section class="note" id="([a-z_-]+)"', page))
    assert notes == {f"note-{kind.key}" for kind in KINDS.values() if kind.on_plants}
    choices = re.findall(r'<a class="choice" href="([^"]+)" data-opens="([a-z_-]+)"', page)
    assert len(choices) >= 12
    for address, opens in choices:
        assert opens in notes
        assert cast.keeper.get(address.replace("&amp;", "&")).status_code == 200


@pytest.mark.parametrize("address", ["/", "/help", "/plants/{id}", "/T/{code}"])
def test_kept_pages_name_their_person_and_hold_no_token(
    cast: Cast, plant: Plant, members: tuple[Person, Person], address: str
) -> None:
    answer = cast.keeper.get(address.format(id=plant.id, code=plant.code))
    assert answer.headers["X-Walkabout-Person"] == members[1].id
    assert "csrf" not in answer.text
    assert 'method="post"' not in answer.text
    assert "Set-Cookie" not in answer.headers


@pytest.mark.parametrize("address", ["/", "/help", "/plants/{id}", "/T/{code}"])
def test_an_unchanged_page_is_not_sent_again(cast: Cast, plant: Plant, address: str) -> None:
    address = address.format(id=plant.id, code=plant.code)
    first = cast.keeper.get(address)
    again = cast.keeper.get(address, headers={"If-None-Match": first.headers["ETag"]})
    assert again.status_code == 304
    assert again.data == b""
    assert again.headers["ETag"] == first.headers["ETag"]
    assert again.headers["X-Walkabout-Person"] == first.headers["X-Walkabout-Person"]
    other = cast.keeper.get(address, headers={"If-None-Match": 'W/"another"'})
    assert other.status_code == 200


def test_a_new_entry_and_a_new_day_make_a_new_page(
    cast: Cast, app: Flask, plant: Plant, members: tuple[Person, Person]
) -> None:
    address = f"/plants/{plant.id}"
    first = cast.keeper.get(address).headers["ETag"]
    keep_entries([new_entry(plant, members[0], "note", words="Scale on two shoots")])
    second = cast.keeper.get(address, headers={"If-None-Match": first})
    assert second.status_code == 200
    assert "Scale on two shoots" in second.text
    app.config["CLOCK"] = lambda: NOW + timedelta(days=1)
    third = cast.keeper.get(address, headers={"If-None-Match": second.headers["ETag"]})
    assert third.status_code == 200
    assert ">yesterday<" in third.text


def test_today_is_that_of_the_yard(cast: Cast, app: Flask, plant: Plant) -> None:
    """At 04:59 UTC on 1 July it is still 30 June in New York, four hours behind (tz database)."""
    app.config["CLOCK"] = lambda: datetime(2026, 7, 1, 3, 59, tzinfo=UTC)
    assert 'data-today="2026-06-30"' in cast.keeper.get(f"/plants/{plant.id}").text
    app.config["CLOCK"] = lambda: datetime(2026, 7, 1, 4, 1, tzinfo=UTC)
    assert 'data-today="2026-07-01"' in cast.keeper.get(f"/plants/{plant.id}").text


def test_story_has_this_season_first_and_folds_the_others(
    cast: Cast, plant: Plant, members: tuple[Person, Person]
) -> None:
    days = [TODAY, TODAY - timedelta(days=400), TODAY - timedelta(days=800)]
    keep_entries([new_entry(plant, members[1], "note", seen_on=day, words=f"Seen {day}") for day in days])
    page = cast.keeper.get(f"/plants/{plant.id}").text
    story = page[page.index('id="story"') :]
    assert re.findall(r"<summary>(\d{4} season)</summary>", story) == ["2025 season", "2024 season"]
    assert story.index(f"Seen {days[0]}") < story.index("<details>") < story.index(f"Seen {days[1]}")


def test_queries_do_not_grow_with_the_entries(
    cast: Cast,
    plant: Plant,
    members: tuple[Person, Person],
    count_queries: Callable[[], AbstractContextManager[list[str]]],
) -> None:
    counts = []
    for number in (1, 300):
        made = [NOW + timedelta(seconds=second) for second in range(number)]
        keep_entries([new_entry(plant, members[1], "note", made_at=when, words="Ants") for when in made])
        with count_queries() as queries:
            assert cast.keeper.get(f"/plants/{plant.id}").status_code == 200
        counts.append(len(queries))
    assert counts[0] == counts[1] <= 12


def test_adding_a_plant_gives_it_a_tag_at_once(cast: Cast) -> None:
    answer = cast.keeper.post("/plants/add", FACTS)
    assert answer.status_code == 302
    added = plants.plant(answer.location.split("/")[-1])
    assert added is not None
    assert (added.name, added.crop, added.cultivar, added.raised) == (
        "Well quince",
        "quince",
        "Portugal",
        "cutting",
    )
    assert (added.planted, added.planted_about, added.state) == ("2021", True, "growing")
    assert added.code is not None
    assert read_code(added.code) == added.code
    # The yard's units are feet and US gallons.
    assert added.spot is not None
    assert added.spot.name == "By the well"
    assert added.spot.x_m == pytest.approx(10 * 0.3048)
    assert added.spot.y_m == pytest.approx(-2.5 * 0.3048)
    assert added.container_litres == pytest.approx(15 * 3.785411784, abs=1e-4)


def test_changing_a_plant_without_touching_it_changes_nothing(cast: Cast) -> None:
    added_at = cast.keeper.post("/plants/add", FACTS).location
    before = plants.plant(added_at.split("/")[-1])
    form = cast.keeper.get(f"{added_at}/edit").text
    shown = {
        name: value
        for name in ("name", "crop", "cultivar", "rootstock", "planted", "spot", "x", "y", "volume")
        for value in re.findall(rf'<input[^>]* name="{name}"[^>]* value="([^"]*)"', form)
    }
    chosen = dict(re.findall(r'<input checked [^>]*name="(\w+)"[^>]* value="(\w*)"', form))
    assert cast.keeper.post(f"{added_at}/edit", {**shown, **chosen}).status_code == 302
    after = plants.plant(added_at.split("/")[-1])
    assert before is not None
    assert after is not None
    assert (
        after.name,
        after.crop,
        after.spot,
        after.planted,
        after.planted_about,
        after.container_litres,
    ) == (
        before.name,
        before.crop,
        before.spot,
        before.planted,
        before.planted_about,
        before.container_litres,
    )


def test_a_crop_that_the_books_do_not_know_is_kept_as_written(cast: Cast) -> None:
    answer = cast.keeper.post("/plants/add", {**FACTS, "crop": "Cloudberry of the north"})
    added = plants.plant(answer.location.split("/")[-1])
    assert added is not None
    assert added.crop == "Cloudberry of the north"
    assert cast.keeper.get(answer.location).status_code == 200


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"name": "   "}, "Give it a name"),
        ({"name": "x" * 121}, "120"),
        ({"crop": ""}, "Say what it is"),
        ({"planted": "last year"}, "Write a date as"),
        ({"planted": "2021-02-30"}, "There is no such day"),
        ({"planted": "2027"}, "still to come"),
        ({"planted": "1066-10-14"}, "before 1800"),
        ({"raised": "magic"}, "Not a valid choice"),
        ({"x": "twelve"}, "Not a valid decimal"),
        ({"x": "NaN"}, ""),
        ({"x": "1e300"}, ""),
        ({"x": "3", "spot": ""}, "Give the spot a name"),
        ({"volume": "-1"}, ""),
        ({"state": "sleeping"}, "Not a valid choice"),
    ],
)
def test_bad_facts_are_refused_and_nothing_is_written(cast: Cast, wrong: dict[str, str], words: str) -> None:
    answer = cast.keeper.post("/plants/add", {**FACTS, **wrong})
    assert answer.status_code == 422
    assert words in answer.text
    assert "Nothing is changed yet" in answer.text
    assert plants.count_plants() == 0


def test_html_in_every_text_field_is_shown_as_text(cast: Cast) -> None:
    texts = dict.fromkeys(("name", "crop", "cultivar", "rootstock", "spot"), MARKUP)
    added_at = cast.keeper.post("/plants/add", {**FACTS, **texts}).location
    plant_id = added_at.split("/")[-1]
    title = {"title": MARKUP, "opens": TODAY.isoformat()}
    assert cast.keeper.post(f"{added_at}/tasks/add", title).status_code == 302
    assert (
        cast.keeper.post(f"{added_at}/note/note", {"words": MARKUP, "seen_on": TODAY.isoformat()}).status_code
        == 302
    )
    entry = re.search(r'href="(/entries/[0-9a-f-]{36})"', cast.keeper.get(added_at).text)
    assert entry is not None
    for address in (
        "/",
        f"/?search={MARKUP}",
        added_at,
        f"{added_at}/edit",
        f"{added_at}/note/done",
        f"{added_at}/story",
        f"{added_at}/tasks/add",
        entry[1],
        f"{entry[1]}/correct",
    ):
        page = cast.keeper.get(address).text
        assert "<img" not in page, address
        assert "&lt;img" in page, address
    assert len(tasks.open_tasks(plant_id)) == 1


def test_an_unknown_plant_is_a_plain_page(cast: Cast) -> None:
    for address in ("/plants/no-such-plant", "/plants/no-such-plant/edit", "/plants/no-such-plant/story"):
        answer = cast.keeper.get(address)
        assert answer.status_code == 404
        assert "Nothing is lost" in answer.text


def test_outsiders_see_nothing_of_a_plant(cast: Cast, plant: Plant) -> None:
    for address in (f"/plants/{plant.id}", f"/plants/{plant.id}/edit", f"/plants/{plant.id}/story"):
        for outsider in cast.outsiders:
            answer = outsider.get(address)
            assert answer.status_code == 302
            assert plant.name not in answer.text
    token = _stranger_token(cast.stranger)
    refused = cast.stranger.client.post("/plants/add", data={**FACTS, "csrf_token": token})
    assert refused.status_code == 403
    assert plants.count_plants() == 1


def _stranger_token(stranger: Actor) -> str:
    return stranger.token("/sign-in")
