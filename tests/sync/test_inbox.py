"""What phones send is judged entry by entry, and kept once."""

from __future__ import annotations

import math
from datetime import timedelta
from typing import Any

import pytest

from tests.cast import NOW, TODAY, new_id
from tests.sync.sent import sent
from walkabout.records import entries, plants, refusals, stories, yards
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.sync import inbox
from walkabout.sync.inbox import Answer

Members = tuple[Person, Person]


def take(*batch: object, person: Person) -> list[Answer]:
    """Send a batch at the fixed moment of the tests."""
    return inbox.take(batch, person, yards.the_yard(), NOW)


def refuse(raw: object, person: Person) -> str:
    """Send one entry that must be refused; nothing may be kept of it, and its raw text is. Gives the reason."""
    before = entries.count_entries()
    (answer,) = take(raw, person=person)
    assert answer.word == "refused"
    assert answer.reason
    assert entries.count_entries() == before
    assert refusals.refusals()[0].reason == answer.reason
    return answer.reason


def test_an_entry_is_stored_and_then_here(plant: Plant, members: Members) -> None:
    keeper = members[1]
    note = sent(plant, keeper, words="Scale on two shoots")
    assert take(note, person=keeper) == [Answer(note["id"], "stored")]
    assert take(note, person=keeper) == [Answer(note["id"], "here")]
    kept = entries.entry(note["id"])
    assert kept is not None
    assert (kept.plant_id, kept.seen_on, kept.details) == (plant.id, TODAY, {"words": "Scale on two shoots"})
    assert (kept.author_id, kept.device, kept.made_at) == (keeper.id, note["device"], note["made_at"])
    assert kept.clock_difference == 0.25


def test_the_same_entry_twice_in_a_batch_is_kept_once(plant: Plant, members: Members) -> None:
    note = sent(plant, members[1])
    assert [answer.word for answer in take(note, dict(note), person=members[1])] == ["stored", "here"]
    assert entries.count_entries() == 1


def test_one_bad_entry_is_not_in_the_way_of_the_others(plant: Plant, members: Members) -> None:
    keeper = members[1]
    good, bad, also_good = sent(plant, keeper), sent(plant, keeper, "weather"), sent(plant, keeper)
    answers = take(good, bad, also_good, person=keeper)
    assert [(answer.id, answer.word) for answer in answers] == [
        (good["id"], "stored"),
        (bad["id"], "refused"),
        (also_good["id"], "stored"),
    ]


def test_details_are_kept_in_si_units(plant: Plant, members: Members) -> None:
    # 1 lb = 0.45359237 kg, exact: international yard and pound agreement, 1959.
    picked = sent(plant, members[1], "harvest", weight_lb=10)
    take(picked, person=members[1])
    kept = entries.entry(picked["id"])
    assert kept is not None
    assert kept.details["weight_kg"] == pytest.approx(4.5359237, abs=1e-6)


def test_the_same_id_with_other_content_is_refused_and_the_first_stays(
    plant: Plant, members: Members
) -> None:
    keeper = members[1]
    note = sent(plant, keeper, words="first")
    take(note, person=keeper)
    assert "other content" in refuse({**note, "details": {"words": "second"}}, keeper)
    kept = entries.entry(note["id"])
    assert kept is not None
    assert kept.details == {"words": "first"}


def test_what_is_here_stays_here_when_the_plant_has_changed_since(plant: Plant, members: Members) -> None:
    keeper = members[1]
    grafted = plants.change_plant(plant.id, plants.PlantFacts("Old gate fig", "fig", raised="grafted"))
    hurt = sent(grafted, keeper, "damage", cause="frost", lowest_living="above")
    assert take(hurt, person=keeper)[0].word == "stored"
    plants.change_plant(plant.id, plants.PlantFacts("Old gate fig", "fig", raised="cutting"))
    assert take(hurt, person=keeper)[0].word == "here"
    assert "graft union" in refuse({**hurt, "id": new_id()}, keeper)


def test_a_withdrawal_takes_an_entry_back_even_when_it_comes_first(plant: Plant, members: Members) -> None:
    keeper = members[1]
    note = sent(plant, keeper)
    back = sent(plant, keeper, "withdrawal", withdraws=note["id"], made_at=NOW + timedelta(minutes=1))
    assert [answer.word for answer in take(back, person=keeper)] == ["stored"]
    assert [answer.word for answer in take(note, person=keeper)] == ["stored"]
    assert stories.story(plant.id, 10) == []


def test_nobodys_entry_is_kept_as_somebody_elses(plant: Plant, members: Members) -> None:
    owner, keeper = members
    assert "Somebody else" in refuse(sent(plant, keeper), owner)


def test_a_date_may_be_one_day_ahead_and_no_more(plant: Plant, members: Members) -> None:
    keeper = members[1]
    tomorrow = TODAY + timedelta(days=1)
    assert take(sent(plant, keeper, seen_on=tomorrow), person=keeper)[0].word == "stored"
    reason = refuse(sent(plant, keeper, seen_on=tomorrow + timedelta(days=1)), keeper)
    assert "2026-11-26" in reason
    assert "2026-11-24" in reason  # today in the yard, where it is still the evening before


def test_an_entry_that_the_program_fails_on_waits_and_the_others_are_kept(
    plant: Plant, members: Members, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    keeper = members[1]
    fails, good = sent(plant, keeper, words="break"), sent(plant, keeper)
    read = inbox.shape.read

    def breaking(raw: Any, today: Any) -> Any:
        if raw["details"].get("words") == "break":
            raise ZeroDivisionError
        return read(raw, today)

    # A fault that is not there cannot be had without putting one in.
    monkeypatch.setattr(inbox.shape, "read", breaking)
    assert take(fails, good, person=keeper) == [Answer(good["id"], "stored")]
    assert "stays on the phone" in caplog.text


WRONG: list[tuple[str, dict[str, Any], str]] = [
    ("unknown kind", {"kind": "weather"}, "no kind of entry “weather”"),
    ("unknown field of an entry", {"mood": "good"}, "no field “mood”"),
    ("unknown field of a kind", {"details": {"words": "x", "mood": "good"}}, "no field “mood”"),
    ("wrong type in a kind", {"details": {"words": 7}}, "must be a text"),
    ("details that are none", {"details": ["words"]}, "“details”"),
    ("a note of 10 MB", {"details": {"words": "x" * 10_000_000}}, "too long"),
    ("a note that is too long", {"details": {"words": "x" * 2001}}, "Note"),
    ("an empty note", {"details": {"words": "  "}}, "Write something"),
    ("signs that are no text", {"details": {"words": "\ud800"}}, "no text"),
    ("no date", {"seen_on": "14 March"}, "“seen_on”"),
    ("a date that is not in the calendar", {"seen_on": "2026-02-30"}, "“seen_on”"),
    ("a date of another type", {"seen_on": 20260314}, "“seen_on”"),
    ("a date in other digits", {"seen_on": "２０２６-03-14"}, "“seen_on”"),
    ("a time without offset", {"made_at": "2026-11-24T21:30:00"}, "“made_at”"),
    ("a time out of all years", {"made_at": "0001-01-01T00:00:00+14:00"}, "“made_at”"),
    ("an id in capitals", {"id": new_id().upper()}, "“id”"),
    ("an id that is none", {"id": "1; DROP TABLE entry"}, "“id”"),
    ("an id that is no text", {"id": None}, "“id”"),
    ("a plant of another yard", {"plant": new_id()}, "no such plant"),
    ("a plant that is no id", {"plant": "\ud800"}, "no text"),
    ("a clock that is no number", {"clock_difference": "0"}, "“clock_difference”"),
    ("a clock that is a truth", {"clock_difference": True}, "“clock_difference”"),
    ("a clock beyond all clocks", {"clock_difference": 10**400}, "“clock_difference”"),
    ("a number that is none", {"clock_difference": math.inf}, "number that is none"),
    ("a form that is no number", {"form": "1"}, "“form”"),
    ("both corrected and taken back", {"replaces": new_id(), "withdraws": new_id()}, "“withdraws”"),
    ("taken back by a kind that says something", {"withdraws": new_id()}, "“withdraws”"),
    ("a withdrawal of nothing", {"kind": "withdrawal", "details": {}}, "“withdraws”"),
    ("a withdrawal with details", {"kind": "withdrawal", "withdraws": new_id()}, "“details”"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "words"), [case[1:] for case in WRONG], ids=[case[0] for case in WRONG])
def test_a_wrong_entry_is_refused_with_its_reason(
    plant: Plant, members: Members, changes: dict[str, Any], words: str
) -> None:
    assert words in refuse({**sent(plant, members[1]), **changes}, members[1])


def test_an_entry_about_itself_is_refused(plant: Plant, members: Members) -> None:
    note = sent(plant, members[1])
    assert "about itself" in refuse({**note, "replaces": note["id"]}, members[1])


@pytest.mark.parametrize("key", sorted(inbox.shape.KEYS))
def test_an_entry_that_lacks_a_key_is_refused(plant: Plant, members: Members, key: str) -> None:
    note = sent(plant, members[1])
    del note[key]
    assert f"“{key}”" in refuse(note, members[1])


@pytest.mark.parametrize("raw", [None, 7, "entry", [], [[]]], ids=repr)
def test_what_is_no_entry_is_refused(plant: Plant, members: Members, raw: object) -> None:
    assert "not an entry" in refuse(raw, members[1])


def test_a_batch_asks_for_its_plants_once(plant: Plant, members: Members, count_queries: Any) -> None:
    keeper = members[1]
    few, many = [sent(plant, keeper) for _ in range(2)], [sent(plant, keeper) for _ in range(50)]
    with count_queries() as for_few:
        take(*few, person=keeper)
    with count_queries() as for_many:
        take(*many, person=keeper)
    reading = [[query for query in queries if query.startswith("SELECT")] for queries in (for_few, for_many)]
    assert len(reading[0]) == len(reading[1])
