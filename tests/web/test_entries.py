"""Entries by ordinary forms. The tests of sync hold the same rules for entries from a phone.

Sources: RFC 9562 section 5.7 (UUID version 7); NIST SP 811 appendix B.8 (pound).
"""

import html
import json
import re
from collections.abc import Callable
from datetime import timedelta
from itertools import count
from uuid import UUID

import pytest
from flask import Flask

from tests.cast import NOW, TODAY, Actor, Cast, new_entry, new_id
from walkabout.records import entries, sessions, stories, tasks
from walkabout.records.entries import Entry
from walkabout.records.people import Person
from walkabout.records.plants import Plant

PEST = {
    "problem": "fig_rust",
    "seen": "yes",
    "part": "leaves",
    "share": "10-25",
    "seen_on": TODAY.isoformat(),
}


@pytest.fixture(autouse=True)
def ticking(app: Flask) -> None:
    """A clock that moves, because of two corrections of the same moment neither is the later one."""
    seconds = count()
    app.config["CLOCK"] = lambda: NOW + timedelta(seconds=next(seconds))


def note(actor: Actor, plant: Plant, kind: str = "note", **fields: str) -> Entry:
    """Note something by the online form; gives the entry that was kept."""
    address = f"/plants/{plant.id}/note/{kind}"
    answer = actor.post(address, {"seen_on": TODAY.isoformat(), **fields})
    assert answer.status_code == 302, answer.text
    kept = entries.entry(answer.location.split("kept=")[1])
    assert kept is not None
    return kept


def test_an_entry_is_kept_without_script(cast: Cast, plant: Plant) -> None:
    kept = note(cast.keeper, plant, "pest", **PEST)
    assert (kept.kind, kept.subject, kept.seen_on) == ("pest", "fig_rust", TODAY)
    assert kept.details == {"problem": "fig_rust", "part": "leaves", "share": "10-25"}
    assert UUID(kept.id).version == 7
    assert cast.keeper.person is not None
    assert kept.author_id == cast.keeper.person.id
    here = {session.id for session in sessions.sessions_of(kept.author_id, NOW)}
    assert kept.device in here
    page = cast.keeper.get(f"/plants/{plant.id}?kept={kept.id}")
    assert "Kept: Fig rust" in page.text
    assert f'href="/entries/{kept.id}#undo"' in page.text
    assert "X-Walkabout-Person" not in page.headers  # a passing view is not kept on the phone


@pytest.mark.parametrize(
    ("kind", "fields", "details"),
    [
        ("bloom", {"stage": "none"}, {"stage": "none"}),
        ("harvest", {"weight_lb": "10"}, {"weight_kg": pytest.approx(4.5359237)}),
        ("harvest", {"count": "30"}, {"count": 30}),
        ("note", {"words": "Scale"}, {"words": "Scale"}),
        (
            "damage",
            {"cause": "frost", "happened_on": "2026-01-14"},
            {"cause": "frost", "happened_on": "2026-01-14"},
        ),
        ("done", {"words": "Tied in"}, {"words": "Tied in"}),
    ],
)
def test_every_kind_is_kept_by_its_form(
    cast: Cast, plant: Plant, kind: str, fields: dict[str, str], details: dict[str, object]
) -> None:
    assert note(cast.keeper, plant, kind, **fields).details == details


def test_a_choice_stands_ready_in_the_form(cast: Cast, plant: Plant) -> None:
    page = cast.keeper.get(f"/plants/{plant.id}/note/pest?problem=fig_rust&nonsense=1").text
    assert re.search(r'value="fig_rust"\s+checked', page)
    assert f'value="{TODAY}"' in page


def test_the_date_can_be_set_back_but_not_far_ahead(cast: Cast, plant: Plant) -> None:
    assert note(cast.keeper, plant, words="Then", seen_on="2019-03-04").seen_on.year == 2019
    ahead = TODAY + timedelta(days=1)
    assert note(cast.keeper, plant, words="East of here", seen_on=ahead.isoformat()).seen_on == ahead
    for day in ((TODAY + timedelta(days=2)).isoformat(), "2026-02-30", "soon", ""):
        answer = cast.keeper.post(f"/plants/{plant.id}/note/note", {"words": "x", "seen_on": day})
        assert answer.status_code == 422, day
        assert "Nothing is kept yet" in answer.text
    assert entries.count_entries() == 2


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("note", {"words": ""}),
        ("note", {"words": "x" * 2001}),
        ("pest", {"problem": "dragons"}),
        ("pest", {}),
        ("bloom", {"stage": "main/999"}),
        ("harvest", {}),
        ("harvest", {"weight_lb": "-3"}),
        ("harvest", {"weight_lb": "nan"}),
        ("damage", {"cause": "frost", "happened_on": "2026-02-30"}),
    ],
)
def test_bad_answers_are_refused_and_nothing_is_written(
    cast: Cast, plant: Plant, kind: str, fields: dict[str, str]
) -> None:
    answer = cast.keeper.post(f"/plants/{plant.id}/note/{kind}", {"seen_on": TODAY.isoformat(), **fields})
    assert answer.status_code == 422
    assert 'class="error"' in answer.text
    assert entries.count_entries() == 0


def test_a_form_sent_twice_keeps_one_entry(cast: Cast, plant: Plant) -> None:
    address = f"/plants/{plant.id}/note/note"
    page = cast.keeper.get(address).text
    hidden = dict(re.findall(r'name="(csrf_token|entry_id)"[^>]* value="([^"]+)"', page))
    fields = {**hidden, "words": "Ants", "seen_on": TODAY.isoformat()}
    first = cast.keeper.client.post(address, data=fields)
    second = cast.keeper.client.post(address, data=fields)
    assert first.location == second.location
    assert entries.count_entries() == 1
    changed = cast.keeper.client.post(address, data={**fields, "words": "Ants and scale"})
    assert changed.location != first.location
    assert entries.count_entries() == 2


@pytest.mark.parametrize("entry_id", ["", "nonsense", "0" * 36, "x" * 5000])
def test_a_broken_id_in_the_form_keeps_no_broken_entry(cast: Cast, plant: Plant, entry_id: str) -> None:
    address = f"/plants/{plant.id}/note/note"
    fields = {"words": "Ants", "seen_on": TODAY.isoformat(), "entry_id": entry_id}
    answer = cast.keeper.post(address, fields)
    assert answer.status_code in (302, 422)
    assert entries.count_entries() == (answer.status_code == 302)


def test_an_entry_is_shown_whole(cast: Cast, plant: Plant) -> None:
    kept = note(cast.keeper, plant, "pest", **PEST)
    page = cast.owner.get(f"/entries/{kept.id}").text
    for words in (
        "Fig rust",
        "leaves",
        "10 to 25\u00a0%",
        "Kofi",
        TODAY.isoformat(),
        "Correct it",
        "Take it back",
    ):
        assert words in page


def test_a_correction_stands_in_place_of_the_entry(cast: Cast, plant: Plant) -> None:
    kept = note(cast.keeper, plant, words="Ants")
    form = cast.owner.get(f"/entries/{kept.id}/correct").text
    assert ">Ants</textarea>" in form
    answer = cast.owner.post(
        f"/entries/{kept.id}/correct", {"words": "Ants and scale", "seen_on": "2026-11-20"}
    )
    correction = entries.entry(answer.location.split("kept=")[1])
    assert correction is not None
    assert correction.replaces == kept.id
    again = cast.owner.post(
        f"/entries/{correction.id}/correct", {"words": "Scale alone", "seen_on": "2026-11-20"}
    )
    last = entries.entry(again.location.split("kept=")[1])
    assert last is not None
    assert last.replaces == kept.id  # a correction names the original
    page = cast.owner.get(f"/entries/{kept.id}").text
    assert "this one counts" in page
    assert page.index("Ants and scale") < page.rindex("Scale alone")
    assert ">Scale alone<" in cast.owner.get(f"/plants/{plant.id}").text


def test_what_stood_before_is_folded_in_the_line(cast: Cast, plant: Plant) -> None:
    kept = note(cast.keeper, plant, words="Ants")
    line = cast.owner.get(f"/plants/{plant.id}").text
    assert "Before" not in line
    cast.owner.post(f"/entries/{kept.id}/correct", {"words": "Scale", "seen_on": "2026-11-20"})
    for page in (f"/plants/{plant.id}", f"/plants/{plant.id}/story"):  # both, also without script
        before = cast.owner.get(page).text.partition('<details class="before">')[2].partition("</details>")[0]
        assert "Ants" in before
        assert "Kofi" in before
        assert "Scale" not in before


def test_only_the_kept_page_says_what_a_script_needs_to_correct(cast: Cast, plant: Plant) -> None:
    kept = note(cast.keeper, plant, words='Ants "and" <scale>')
    page = cast.owner.get(f"/plants/{plant.id}").text
    (answers,) = re.findall(r'data-answers="([^"]*)"', page)
    assert json.loads(html.unescape(answers)) == {"words": 'Ants "and" <scale>'}
    assert f'data-root="{kept.id}"' in page
    assert "data-answers" not in cast.owner.get(f"/plants/{plant.id}/story").text


def test_correcting_work_leaves_its_task_done(cast: Cast, plant: Plant) -> None:
    assert cast.owner.person is not None
    task = tasks.add_task(plant.id, "Thin the figs", TODAY, None, cast.owner.person.id)
    address = f"/plants/{plant.id}/note/done"
    cast.keeper.post(address, {"task": task.id, "seen_on": TODAY.isoformat()})
    assert tasks.open_tasks(plant.id) == []
    (line,) = stories.story(plant.id, 5)
    form = cast.keeper.get(f"/entries/{line.entry.id}/correct").text
    assert re.search(rf'value="{task.id}" checked', form)
    cast.keeper.post(
        f"/entries/{line.entry.id}/correct",
        {"task": task.id, "words": "To one a shoot", "seen_on": TODAY.isoformat()},
    )
    assert tasks.open_tasks(plant.id) == []


def test_several_works_stand_ready_from_an_address(cast: Cast, plant: Plant) -> None:
    form = cast.keeper.get(f"/plants/{plant.id}/note/done?work=watered&work=fed").text
    assert set(re.findall(r'name="work" value="(\w+)" data-list checked', form)) == {"fed", "watered"}


def test_an_entry_is_taken_back_and_let_count_again(cast: Cast, plant: Plant) -> None:
    kept = note(cast.keeper, plant, words="Ants")
    page = f"/entries/{kept.id}"
    assert cast.keeper.post(f"{page}/withdraw", page=page).status_code == 302
    assert stories.standing_entry(kept.id) is None
    taken_back = cast.keeper.get(page).text
    assert "Taken back" in taken_back
    assert "Ants" in taken_back
    assert ">Ants<" not in cast.keeper.get(f"/plants/{plant.id}").text
    withdrawal = re.search(r'action="(/entries/[0-9a-f-]{36}/withdraw)"', taken_back)
    assert withdrawal is not None
    assert cast.keeper.post(withdrawal[1], page=page).status_code == 302
    standing = stories.standing_entry(kept.id)
    assert standing is not None
    assert standing.id == kept.id
    assert "Let count again" in cast.keeper.get(page).text


def test_a_taking_back_that_came_before_its_entry_is_shown(
    cast: Cast, plant: Plant, members: tuple[Person, Person]
) -> None:
    early = new_entry(plant, members[1], "withdrawal", withdraws=new_id())
    entries.keep_entries([early])
    page = cast.keeper.get(f"/entries/{early.id}")
    assert page.status_code == 200
    assert "Taken back" in page.text
    assert cast.keeper.get(f"/entries/{early.id}/correct").status_code == 302


def test_taking_a_correction_back_gives_back_what_stood_before(cast: Cast, plant: Plant) -> None:
    kept = note(cast.keeper, plant, words="Ants")
    answer = cast.keeper.post(f"/entries/{kept.id}/correct", {"words": "Bees", "seen_on": TODAY.isoformat()})
    correction = answer.location.split("kept=")[1]
    page = f"/entries/{kept.id}"
    assert cast.keeper.post(f"/entries/{correction}/withdraw", page=page).status_code == 302
    standing = stories.standing_entry(kept.id)
    assert standing is not None
    assert standing.id == kept.id


def test_a_task_is_ticked_off_by_an_entry(cast: Cast, plant: Plant) -> None:
    added = cast.keeper.post(
        f"/plants/{plant.id}/tasks/add",
        {"title": "Cut back to living wood", "opens": "2026-11-01", "closes": "2026-12-20"},
    )
    page = cast.keeper.get(added.location).text
    assert "Cut back to living wood" in page
    assert "by Sun 20 Dec" in page
    tick = re.search(r'class="choice" href="([^"]+)" data-opens="note-done"', page)
    assert tick is not None
    address = tick[1].replace("&amp;", "&")
    task = re.search("task=([0-9a-f-]{36})", address)
    assert task is not None
    assert re.search(rf'value="{task[1]}"\s+checked', cast.keeper.get(address).text)
    note(cast.keeper, plant, "done", task=task[1], words="Cut back to living wood")
    page = cast.keeper.get(added.location).text
    assert "Nothing is due" in page
    assert "Done: Cut back to living wood" in page


@pytest.mark.parametrize(
    "fields",
    [
        {"title": "", "opens": "2026-11-01"},
        {"title": "   ", "opens": "2026-11-01"},
        {"title": "x" * 121, "opens": "2026-11-01"},
        {"title": "Prune", "opens": ""},
        {"title": "Prune", "opens": "2026-11-10", "closes": "2026-11-01"},
    ],
)
def test_a_bad_task_is_refused(cast: Cast, plant: Plant, fields: dict[str, str]) -> None:
    answer = cast.keeper.post(f"/plants/{plant.id}/tasks/add", fields)
    assert answer.status_code == 422
    assert 'class="error"' in answer.text
    assert "Nothing is due" in cast.keeper.get(f"/plants/{plant.id}").text


def test_the_whole_story_is_told_in_parts(
    cast: Cast, plant: Plant, monkeypatch: pytest.MonkeyPatch, make_plant: Callable[..., Plant]
) -> None:
    from walkabout.web import entries as entry_pages

    monkeypatch.setattr(entry_pages, "STORY_LINES", 2)
    for number in range(5):
        note(cast.keeper, plant, words=f"Seen {number}", seen_on=f"2026-11-0{number + 1}")
    told, address = [], f"/plants/{plant.id}/story"
    while address:
        page = cast.keeper.get(address).text
        told += re.findall(r"Seen \d", page)
        onward = re.search(r'href="([^"]+)">Earlier', page)
        address = onward[1].replace("&amp;", "&") if onward else ""
    assert told == [f"Seen {number}" for number in (4, 3, 2, 1, 0)]
    for place in ("nonsense", "2026-11-01 " + "9" * 400, "2026-11-01 5", " ", "x 5 y z"):
        assert cast.keeper.get(f"/plants/{plant.id}/story", query_string={"before": place}).status_code == 200


def test_what_is_not_there_is_a_plain_page(cast: Cast, plant: Plant) -> None:
    for address in (
        f"/plants/{plant.id}/note/dragons",
        f"/plants/{plant.id}/note/withdrawal",
        "/plants/none/note/pest",
        "/entries/none",
        "/entries/none/correct",
    ):
        assert cast.keeper.get(address).status_code == 404, address
    assert cast.keeper.post("/entries/none/withdraw", page="/you").status_code == 404


def test_outsiders_neither_see_nor_note(cast: Cast, plant: Plant, kept_entry: str) -> None:
    addresses = (f"/plants/{plant.id}/note/note", f"/entries/{kept_entry}", f"/entries/{kept_entry}/correct")
    for outsider in cast.outsiders:
        for address in addresses:
            assert outsider.get(address).status_code == 302
        token = outsider.token("/sign-in")
        fields = {"csrf_token": token, "words": "x", "seen_on": TODAY.isoformat()}
        for address in (*addresses, f"/entries/{kept_entry}/withdraw"):
            assert outsider.client.post(address, data=fields).status_code in (403, 405)
    assert entries.count_entries() == 1


def test_a_post_without_the_form_token_keeps_nothing(cast: Cast, plant: Plant, kept_entry: str) -> None:
    fields = {"words": "x", "seen_on": TODAY.isoformat(), "title": "x", "opens": TODAY.isoformat()}
    for address in (
        f"/plants/{plant.id}/note/note",
        f"/entries/{kept_entry}/correct",
        f"/entries/{kept_entry}/withdraw",
        f"/plants/{plant.id}/tasks/add",
    ):
        assert cast.owner.client.post(address, data=fields).status_code == 400
    assert entries.count_entries() == 1


def test_a_note_of_10_mb_is_refused(cast: Cast, plant: Plant) -> None:
    token = cast.keeper.token(f"/plants/{plant.id}/note/note")
    answer = cast.keeper.client.post(
        f"/plants/{plant.id}/note/note",
        data={"csrf_token": token, "words": "x" * 10_000_000, "seen_on": TODAY.isoformat()},
    )
    assert answer.status_code == 413
    assert "too large" in answer.text
    assert entries.count_entries() == 0
