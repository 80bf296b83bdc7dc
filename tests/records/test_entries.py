"""Entries in the database: kept once, never changed, told as a story, always in step with the pure rule."""

from collections.abc import Callable
from datetime import date

import peewee
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from walkabout.records import changes, entries, models, standing_table, stories
from walkabout.records.database import database
from walkabout.records.entries import Kept, NewEntry
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.records.standing import Link, standing_heads

Make = Callable[..., NewEntry]


def told(plant: Plant) -> list[str]:
    return [line.entry.id for line in stories.story(plant.id, 100)]


def test_an_entry_is_kept_with_all_its_fields(
    make_entry: Make, plant: Plant, members: tuple[Person, Person]
) -> None:
    new = make_entry("a", clock_difference=-2.5, details={"text": "Ångström"})
    assert entries.keep_entries([new]) == [Kept("a", "stored")]
    kept = entries.entry("a")
    assert kept is not None
    assert (kept.seen_on, kept.details, kept.made_at) == (date(2026, 3, 1), {"text": "Ångström"}, new.made_at)
    # 10:00 at +02:00 is 08:00 UTC, less the 2.5 s that the phone's clock was ahead.
    assert kept.corrected_at == 1772352000000 - 2500
    assert [(line.author_name, line.root_id) for line in stories.story(plant.id, 9)] == [
        (members[0].name, "a")
    ]


def test_the_same_entry_again_is_here_and_other_content_is_refused(make_entry: Make, plant: Plant) -> None:
    assert entries.keep_entries([make_entry("a"), make_entry("a")]) == [
        Kept("a", "stored"),
        Kept("a", "here"),
    ]
    assert entries.keep_entries([make_entry("a"), make_entry("a", 7), make_entry("b")]) == [
        Kept("a", "here"),
        Kept("a", "refused"),
        Kept("b", "stored"),
    ]
    assert entries.count_entries() == 2


def test_no_code_path_changes_or_deletes_an_entry(make_entry: Make) -> None:
    entries.keep_entries([make_entry("a")])
    with pytest.raises(peewee.DatabaseError, match="never changed"):
        models.Entry.update(kind="bloom").execute()
    with pytest.raises(peewee.DatabaseError, match="never deleted"):
        models.Entry.delete().execute()
    with pytest.raises(peewee.DatabaseError, match="never deleted"):
        database.execute_sql("DELETE FROM entry")


def test_each_kept_entry_is_numbered_and_makes_its_page_stale(make_entry: Make, plant: Plant) -> None:
    before = changes.page_changes()[plant.id]
    entries.keep_entries([make_entry("a"), make_entry("b")])
    assert changes.page_changes()[plant.id] == changes.latest_change() == before + 2
    entries.keep_entries([make_entry("a")])
    assert changes.latest_change() == before + 2


def test_a_correction_of_another_plants_entry_ties_nothing(
    make_entry: Make, plant: Plant, make_plant: Callable[..., Plant]
) -> None:
    other = make_plant("Another")
    entries.keep_entries([make_entry("a"), make_entry("w", plant_id=other.id, withdraws="a")])
    assert told(plant) == ["a"]


def test_the_story_reads_on_where_it_stopped(make_entry: Make, plant: Plant) -> None:
    many = [make_entry(f"{n:02d}", n % 7, seen_on=date(2026, 1, 1 + n % 5)) for n in range(30)]
    entries.keep_entries(many)
    whole = told(plant)
    place, pieces = None, []
    while piece := stories.story(plant.id, 7, place):
        pieces += [line.entry.id for line in piece]
        place = stories.place_of(piece[-1])
    assert pieces == whole
    assert len(whole) == 30


def test_the_latest_of_each_subject_is_the_one_seen_last(make_entry: Make, plant: Plant) -> None:
    def pest(name: str, problem: str, day: int, **more: object) -> NewEntry:
        return make_entry(name, kind="pest", subject=problem, seen_on=date(2026, 2, day), **more)

    entries.keep_entries(
        [
            pest("a", "scale", 3),
            pest("b", "scale", 9),
            pest("c", "mites", 5),
            pest("d", "scale", 12),
            make_entry("e"),
        ]
    )
    entries.keep_entries([make_entry("w", withdraws="d")])
    assert [e.id for e in stories.latest_by_subject(plant.id, ["pest"], date(2026, 1, 1))] == ["b", "c"]
    assert [e.id for e in stories.latest_by_subject(plant.id, ["pest"], date(2026, 2, 6))] == ["b"]
    latest = stories.latest(plant.id, "pest")
    assert latest is not None
    assert latest.id == "b"


def test_what_an_entry_is_tied_to_can_be_read(make_entry: Make) -> None:
    entries.keep_entries(
        [
            make_entry("a", 1),
            make_entry("b", 2, replaces="a"),
            make_entry("w", 3, withdraws="b"),
            make_entry("z", 4),
        ]
    )
    assert [line.entry.id for line in stories.tied_entries("b")] == ["a", "b", "w"]
    standing = stories.standing_entry("w")
    assert standing is not None
    assert standing.id == "a"
    assert stories.tied_entries("unknown") == []


@st.composite
def batches(draw: st.DrawFn) -> list[list[tuple[str, int, str | None, bool]]]:
    names = st.sampled_from("abcdefg")
    shapes: dict[str, tuple[str, int, str | None, bool]] = {
        name: (name, draw(st.integers(0, 5)), draw(st.none() | names), draw(st.booleans()))
        for name in "abcdefg"
    }
    sent = draw(st.lists(names, min_size=1, max_size=20))
    cuts = draw(st.lists(st.integers(1, 4), min_size=len(sent), max_size=len(sent)))
    parts, rest = [], [shapes[name] for name in sent]
    for cut in cuts:
        if rest:
            parts.append(rest[:cut])
            rest = rest[cut:]
    return parts


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(batches())
def test_any_batches_leave_the_database_in_step_with_the_rule(
    make_plant: Callable[..., Plant], make_entry: Make, parts: list[list[tuple[str, int, str | None, bool]]]
) -> None:
    plant = make_plant("Generated")

    def full(shape: tuple[str, int, str | None, bool]) -> NewEntry:
        name, at, target, withdraws = shape
        target = f"{plant.id}-{target}" if target else None
        fields = {"withdraws": target} if withdraws and target else {"replaces": target}
        return make_entry(f"{plant.id}-{name}", at, plant_id=plant.id, **fields)

    sent = [[full(shape) for shape in part] for part in parts]
    for part in sent:
        entries.keep_entries(part)
    unique = {new.id: new for part in sent for new in part}
    links = [
        Link(n.id, entries.corrected_at(n.made_at, None), n.replaces, n.withdraws) for n in unique.values()
    ]
    assert set(told(plant)) == {head.entry_id for head in standing_heads(links)}
    assert standing_table.standing_faults() == []


def test_a_stale_record_of_what_stands_is_found_and_rebuilt(make_entry: Make, plant: Plant) -> None:
    entries.keep_entries([make_entry("a"), make_entry("b", replaces="a")])
    database.execute_sql("UPDATE standing SET entry_id = 'a'")
    assert standing_table.standing_faults() == [
        f"plant {plant.id}: what stands does not agree with its entries"
    ]
    standing_table.rebuild_standing()
    assert standing_table.standing_faults() == []
    assert told(plant) == ["b"]
