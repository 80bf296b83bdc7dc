from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date, datetime, timedelta
from typing import Any

import pytest

from tests.cast import NOW, TODAY, new_entry
from walkabout.care import plant_view
from walkabout.entries.kinds import KINDS, check, subject
from walkabout.records.entries import keep_entries
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.records.tasks import add_task
from walkabout.records.yards import the_yard

Members = tuple[Person, Person]
CountQueries = Callable[[], AbstractContextManager[list[str]]]


@pytest.fixture
def tree(make_plant: Callable[..., Plant]) -> Plant:
    return make_plant("By the well", "mandarin", raised="grafted", planted="2023")


@pytest.fixture
def keep(tree: Plant, members: Members) -> Callable[..., str]:
    """Keeps a checked entry about the tree; gives its id."""

    def keep_one(
        kind: str,
        seen_on: date = TODAY,
        replaces: str | None = None,
        made_at: datetime = NOW,
        **details: Any,
    ) -> str:
        facts = plant_view.facts(tree, the_yard(), TODAY)
        checked = check(kind, details, facts)
        about = subject(kind, checked)
        entry = new_entry(
            tree,
            members[1],
            kind,
            subject=about,
            seen_on=seen_on,
            replaces=replaces,
            made_at=made_at,
            **checked,
        )
        assert [kept.word for kept in keep_entries([entry])] == ["stored"]
        return entry.id

    return keep_one


def look(tree: Plant, **story: Any) -> plant_view.PlantView:
    return plant_view.load(tree, the_yard(), TODAY, **story)


def test_a_plant_without_entries(tree: Plant) -> None:
    view = look(tree)
    assert view.status.headline == "No entries yet."
    assert view.status.leaf == 4  # seasons begun in 2023, 2024, 2025, 2026
    assert (view.story, view.more, view.next_place, view.due) == ((), False, None, ())
    assert len(view.likely) == 6
    assert [one.kind.key for one in view.kinds] == [key for key in KINDS if key != "withdrawal"]


def test_what_was_entered_is_told(tree: Plant, keep: Callable[..., str]) -> None:
    pest = keep("pest", TODAY - timedelta(days=3), problem="citrus_leafminer", part="young_leaves")
    keep("harvest", TODAY - timedelta(days=2), weight_lb=12.5)
    frost = keep("damage", cause="frost", nights_ago="1", lowest_living="at")
    view = look(tree)
    assert view.status.headline == (
        "Frost of 23 Nov, alive down at the graft union only; Citrus leafminer, young leaves, seen 21 Nov."
    )
    assert view.status.last_harvest == ("Picked 12.5 lb", TODAY - timedelta(days=2))
    assert [(line.root_id, line.kind, line.author) for line in view.story] == [
        (frost, "damage", "Kofi"),
        (view.story[1].entry_id, "harvest", "Kofi"),
        (pest, "pest", "Kofi"),
    ]
    assert view.likely[0].preset == {"problem": "citrus_leafminer"}


def test_a_correction_is_told_in_its_place(tree: Plant, keep: Callable[..., str]) -> None:
    first = keep("pest", problem="citrus_leafminer")
    corrected = keep("pest", replaces=first, problem="citrus_leafminer", seen="none")
    view = look(tree)
    assert [(line.entry_id, line.root_id, line.corrections) for line in view.story] == [(corrected, first, 1)]
    assert view.status.troubles == ()
    ((before,),) = [line.before for line in view.story]
    assert (before.words, before.author, before.seen_on) == ("Citrus leafminer", "Kofi", TODAY)


def test_what_stood_before_is_told_the_latest_first(tree: Plant, keep: Callable[..., str]) -> None:
    first = keep("harvest", count=1, made_at=NOW)
    for number in (2, 3):
        keep("harvest", replaces=first, count=number, made_at=NOW + timedelta(hours=number))
    other = keep("harvest", TODAY - timedelta(days=1), count=7)
    view = look(tree)
    assert [(line.words, [old.words for old in line.before]) for line in view.story] == [
        ("Picked 3 fruits", ["Picked 2 fruits", "Picked 1 fruit"]),
        ("Picked 7 fruits", []),
    ]
    assert view.story[1].root_id == other


def test_a_line_says_its_answers_as_the_form_of_the_page_takes_them(
    tree: Plant, keep: Callable[..., str], members: Members
) -> None:
    keep("harvest", weight_lb=12.5)
    keep("pest", TODAY - timedelta(days=1), problem="melanose")
    keep_entries([new_entry(tree, members[1], "pruning", cuts=3, seen_on=TODAY - timedelta(days=2))])
    view = look(tree)
    forms = {one.kind.key: one.form for one in view.kinds}
    harvest, pest, unknown = (line.answers for line in view.story)
    assert harvest == {"weight_lb": 12.5}
    assert pest == {"problem": "melanose", "seen": "yes"}
    assert unknown is None  # there is no form to correct it with
    assert all(name in forms["pest"] for name in pest)


def test_work_is_ticked_off(tree: Plant, keep: Callable[..., str], members: Members) -> None:
    cut = add_task(tree.id, "Cut back to living wood", TODAY, None, members[0].id)
    later = add_task(tree.id, "Feed", TODAY + timedelta(days=90), None, members[0].id)
    view = look(tree)
    assert [task.id for task in view.due] == [cut.id]
    assert [task.id for task in view.later] == [later.id]
    assert view.likely[0].preset == {"task": cut.id, "words": "Cut back to living wood"}
    keep("done", task=cut.id)
    view = look(tree)
    assert view.due == ()
    assert view.story[0].words == "Done: Cut back to living wood"


def test_the_story_is_read_on(tree: Plant, keep: Callable[..., str]) -> None:
    for days in range(7):
        keep("note", TODAY - timedelta(days=days), words=f"Note {days}")
    first = look(tree, limit=4)
    assert first.more
    rest = look(tree, limit=4, before=first.next_place)
    assert not rest.more
    told = [line.words for line in (*first.story, *rest.story)]
    assert told == [f"Note {days}" for days in range(7)]
    assert rest.status == first.status


def test_a_kind_of_a_newer_program_is_said_to_be_unreadable(tree: Plant, members: Members) -> None:
    assert [kept.word for kept in keep_entries([new_entry(tree, members[1], "pruning", cuts=3)])] == [
        "stored"
    ]
    view = look(tree)
    assert view.story[0].words == "An entry that this program cannot read"


def test_what_this_person_noted_last_elsewhere_is_near(
    tree: Plant, make_plant: Callable[..., Plant], members: Members
) -> None:
    owner, keeper = members
    beside = make_plant("Beside it", "mandarin", raised="grafted")
    note = new_entry(beside, keeper, "growth", subject="leaf", stage="leaf/15")
    old = new_entry(
        beside, owner, "growth", subject="leaf", stage="leaf/15", seen_on=TODAY - timedelta(days=8)
    )
    assert [kept.word for kept in keep_entries([note, old])] == ["stored", "stored"]
    assert look(tree, person_id=keeper.id).likely[0].preset == {"stage": "leaf/15"}
    for other in (owner.id, None):  # whose last note is too old; nobody
        assert {"stage": "leaf/15"} not in [choice.preset for choice in look(tree, person_id=other).likely]


def test_few_queries_whatever_the_number_of_entries(
    tree: Plant, keep: Callable[..., str], members: Members, count_queries: CountQueries
) -> None:
    task = add_task(tree.id, "Thin", TODAY, None, members[0].id)

    def queries() -> int:
        with count_queries() as run:
            look(tree, person_id=members[1].id)
        return len(run)

    keep("done", task=task.id)
    noted = keep("note", words="Ants")
    keep("note", replaces=noted, words="Ants on the trunk", made_at=NOW + timedelta(hours=1))
    few = queries()
    for days in range(60):
        keep("pest", TODAY - timedelta(days=days), problem="melanose")
        keep("bloom", TODAY - timedelta(days=days), stage="crop/65")
        picked = keep("harvest", TODAY - timedelta(days=days), count=days)
        keep("harvest", TODAY - timedelta(days=days), picked, NOW + timedelta(hours=1), count=days + 1)
    assert queries() <= few
    assert few <= 12


def test_a_flush_counts_for_three_weeks(tree: Plant, keep: Callable[..., str]) -> None:
    keep("growth", TODAY - timedelta(days=22), stage="leaf/15")
    without = look(tree).likely
    keep("growth", TODAY - timedelta(days=21), stage="leaf/15")
    first = look(tree).likely[0]
    assert (first.kind, first.preset) == ("pest", {"problem": "citrus_leafminer"})
    assert without[0] != first


def test_an_ordered_plant_offers_to_be_planted(make_plant: Callable[..., Plant]) -> None:
    ordered = make_plant("On its way", "apple", state="ordered")
    assert [choice.words for choice in look(ordered).likely] == ["Planted", "Note"]
