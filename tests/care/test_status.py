"""What is said of a plant. The rules are judgement, stated in the module; the checks hold it to them."""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkabout.care.status import FOLLOWED_KINDS, PlantRecord, Status, plant_status, recent_damage
from walkabout.entries.done import no_pick_before
from walkabout.entries.facts import KindFacts
from walkabout.entries.kinds import subject
from walkabout.records.entries import Entry
from walkabout.records.plants import Plant
from walkabout.records.yards import Yard
from walkabout.reference.problems import problem

TODAY = date(2026, 4, 20)
YARD = Yard("y", "Long Meadow", 30.1, -95.2, "America/Chicago", "us", None, None, frost_free=False)


def a_plant(state: str = "growing", planted: str | None = "2022") -> Plant:
    return Plant(
        id="p", name="Gate", crop="mandarin", cultivar="Owari", rootstock="", raised="grafted", planted=planted,
        planted_about=False, spot=None, container=False, container_litres=None, training="", wanted_height_m=None,
        source="", raised_from=None, state=state, ended=None, ended_why="", merged_into=None, made_at="", changed=1,
        code=None,
    )  # fmt: skip


def noted(kind: str, days_ago: int, number: int = 0, **details: Any) -> Entry:
    return Entry(
        seq=number, id=f"entry-{kind}-{days_ago}-{number}", plant_id="p", kind=kind, subject=subject(kind, details),
        seen_on=TODAY - timedelta(days=days_ago), made_at="", clock_difference=None, corrected_at=number,
        received_at="", details=details, replaces=None, withdraws=None, author_id="a", device="d", form=1,
        fingerprint="",
    )  # fmt: skip


def status_of(*entries: Entry, plant: Plant | None = None, today: date = TODAY) -> Status:
    """The status from these entries, as the records would choose them."""
    ordered = sorted(entries, key=lambda entry: (entry.seen_on, entry.corrected_at), reverse=True)
    followed: dict[tuple[str, str], Entry] = {}
    works: dict[str, Entry] = {}
    for entry in ordered:
        if entry.kind in FOLLOWED_KINDS:
            followed.setdefault((entry.kind, entry.subject), entry)
        for work in entry.details.get("work", ()):
            works.setdefault(work, entry)
    harvests = [entry for entry in ordered if entry.kind == "harvest"]
    waits = [entry for entry in ordered if "days_before_harvest" in entry.details]
    record = PlantRecord(
        last=ordered[0] if ordered else None,
        followed=tuple(followed.values()),
        last_harvest=next((one for one in harvests if "count" in one.details), None),
        last_lost=next((one for one in harvests if "lost" in one.details), None),
        works=works,
        waiting=max(waits, key=lambda one: no_pick_before(one.details, one.seen_on) or TODAY, default=None),
    )
    facts = KindFacts("mandarin", True, "us", today)
    return plant_status(plant or a_plant(), record, YARD, facts)


MINED = {"problem": "citrus_leafminer", "part": "young_leaves"}


@pytest.mark.parametrize(
    ("entries", "headline"),
    [
        ([], "No entries yet."),
        ([noted("note", 3, words="Mulched")], "Nothing open; last entry 17 Apr."),
        ([noted("bloom", 3, stage="crop/65")], "Full bloom, seen 17 Apr."),
        ([noted("bloom", 3, stage="none")], "No bloom yet on 17 Apr."),
        ([noted("bloom", 121, stage="crop/65")], "Nothing open; last entry 20 Dec."),
        ([noted("pest", 3, **MINED)], "Citrus leafminer, young leaves, seen 17 Apr."),
        (
            [noted("pest", 22, **MINED)],  # the table's days to the next look are 21
            "Citrus leafminer, young leaves, seen 29 Mar and not looked at since.",
        ),
        (
            [noted("damage", 90, cause="frost", nights_ago="1", lowest_living="above"), noted("bloom", 1, stage="crop/60")],
            "Frost of 19 Jan, alive above the graft union; First bloom, seen 19 Apr.",
        ),
        ([noted("damage", 90, cause="hail")], "Hail seen 20 Jan."),
        ([noted("damage", 366, cause="hail")], "Nothing open; last entry 19 Apr 2025."),
        (
            [noted("pest", 1, problem=name) for name in ("melanose", "citrus_scab", "sooty_mold")],
            "Melanose, seen 19 Apr; Citrus scab, seen 19 Apr; 1 more open.",
        ),
    ],
)  # fmt: skip
def test_headline(entries: list[Entry], headline: str) -> None:
    assert status_of(*entries).headline == headline


@pytest.mark.parametrize(
    "seen", [dict(MINED, seen="none"), {"problem": "citrus_leafminer", "seen": "none"}, {"seen": "none"}]
)
def test_looked_and_none_closes(seen: dict[str, str]) -> None:
    seen.pop("part", None)
    opened = noted("pest", 10, **MINED)
    assert status_of(opened).troubles
    assert not status_of(opened, noted("pest", 5, **seen)).troubles
    # seen again after it
    assert status_of(opened, noted("pest", 5, **seen), noted("pest", 4, **MINED)).troubles
    # looked before it was seen
    assert status_of(opened, noted("pest", 15, **seen)).troubles
    # on one day the later entry holds
    assert not status_of(noted("pest", 5, 1, **MINED), noted("pest", 5, 2, **seen)).troubles
    assert status_of(noted("pest", 5, 2, **MINED), noted("pest", 5, 1, **seen)).troubles


def test_none_of_one_problem_leaves_the_others_open() -> None:
    open_now = status_of(
        noted("pest", 9, problem="melanose"),
        noted("pest", 8, **MINED),
        noted("pest", 1, problem="melanose", seen="none"),
    ).troubles
    assert [trouble.subject for trouble in open_now] == ["citrus_leafminer"]


@pytest.mark.parametrize("name", ["citrus_leafminer", "codling_moth", "citrus_red_scale"])
def test_the_next_look_is_that_of_the_table(name: str) -> None:
    days = problem(name).recheck_days
    assert not status_of(noted("pest", days, problem=name)).troubles[0].overdue
    assert status_of(noted("pest", days + 1, problem=name)).troubles[0].overdue


def test_another_problem_is_looked_at_after_14_days() -> None:
    details = {"problem": "other", "words": "Stink bug"}
    assert not status_of(noted("pest", 14, **details)).troubles[0].overdue
    assert status_of(noted("pest", 15, **details)).troubles[0].overdue


@pytest.mark.parametrize(("state", "word"), [("dead", "Dead"), ("gone", "Gone")])
def test_a_plant_that_ended_has_nothing_open(state: str, word: str) -> None:
    ended = status_of(noted("pest", 1, **MINED), noted("harvest", 200, count=3), plant=a_plant(state))
    assert ended.headline == f"{word}; last entry 19 Apr."
    assert (ended.leaf, ended.stage, ended.troubles, ended.stages) == (None, None, (), ())
    assert ended.last_harvest == ("Picked 3 fruits", date(2025, 10, 2))
    assert status_of(plant=a_plant(state)).headline == f"{word}."


def test_a_young_plant() -> None:
    assert status_of(plant=a_plant(planted="2026-02-01")).leaf == 1
    assert status_of(plant=a_plant(planted="2026-02-01"), today=date(2026, 2, 2)).leaf == 0
    assert status_of(plant=a_plant(planted=None)).leaf is None


def test_the_last_stage_of_each_track_stands_for_120_days() -> None:
    status = status_of(
        noted("bloom", 120, stage="leaf/15"),
        noted("bloom", 5, stage="crop/60"),
        noted("bloom", 2, stage="crop/65"),
    )
    assert status.stages == ("crop/65", "leaf/15")
    assert status.stage == ("Full bloom", date(2026, 4, 18))
    assert status_of(noted("bloom", 121, stage="crop/65")).stages == ()


FREEZE = noted("damage", 90, cause="frost", nights_ago="1")


@pytest.mark.parametrize(
    ("entries", "headline"),
    [
        ([FREEZE, noted("damage", 2, cause="frost", seen="over")], "Nothing open; last entry 18 Apr."),
        ([FREEZE, noted("damage", 2, cause="frost", seen="none")], "Nothing open; last entry 18 Apr."),
        ([FREEZE, noted("damage", 2, seen="none")], "Frost of 19 Jan."),  # of no cause: old dieback stays
        (
            [FREEZE, noted("growth", 9, stage="regrowth_below")],
            "Frost of 19 Jan; Regrowth from below the graft union, seen 11 Apr.",
        ),
        (
            [FREEZE, noted("growth", 9, stage="regrowth_above"), noted("damage", 1, cause="frost", seen="over")],
            "Nothing open; last entry 19 Apr.",
        ),
        (
            [noted("growth", 9, stage="regrowth_above"), noted("damage", 30, cause="frost", seen="over")],
            "Regrowth from above the graft union, seen 11 Apr.",  # noted after it: another one perhaps
        ),
        ([noted("growth", 3, stage="none")], "Not awake yet on 17 Apr."),
        ([noted("growth", 3, stage="shoots", shoot_cm=30)], "New shoots, 11.8 in long, seen 17 Apr."),
        (
            [noted("growth", 3, stage="leaf/15"), noted("bloom", 9, stage="crop/65")],
            "Feather flush, seen 17 Apr.",
        ),
        (
            [noted("harvest", 3, lost=["birds"], lost_share="most")],
            "Most of the crop lost: birds, seen 17 Apr.",
        ),
        ([noted("harvest", 121, lost=["birds"], lost_share="most")], "Nothing open; last entry 20 Dec."),
    ],
)  # fmt: skip
def test_what_the_further_kinds_say(entries: list[Entry], headline: str) -> None:
    assert status_of(*entries).headline == headline


def test_damage_is_recent_for_120_days_and_open() -> None:
    hail = noted("damage", 120, cause="hail")
    wind = noted("damage", 121, cause="wind")
    over = noted("damage", 3, cause="frost", seen="over")
    assert recent_damage(status_of(hail, wind, over), TODAY) == ("hail",)


def test_stages_of_growth_and_bloom_stand_side_by_side_one_a_track() -> None:
    status = status_of(
        noted("bloom", 9, stage="crop/65"),
        noted("growth", 5, stage="crop/75"),
        noted("growth", 3, stage="leaf/15"),
        noted("growth", 2, stage="shoots"),
        noted("growth", 1, stage="regrowth_below"),
    )
    assert status.stages == ("leaf/15", "crop/75")
    assert status.stage == ("New shoots", date(2026, 4, 18))
    assert status.regrowth == ("Regrowth from below the graft union", date(2026, 4, 19))
    assert status_of(noted("growth", 1, stage="none")).stages == ()


def test_a_harvest_in_which_nothing_was_picked_is_not_the_last_one() -> None:
    status = status_of(noted("harvest", 30, count=12), noted("harvest", 3, ripe="not_yet"))
    assert status.last_harvest == ("Picked 12 fruits", date(2026, 3, 21))
    lost = status_of(noted("harvest", 364, lost=["freeze"], lost_share="all"))
    assert lost.lost == ("The whole crop lost: freeze", date(2025, 4, 21))
    assert status_of(noted("harvest", 366, lost=["freeze"])).lost is None


def test_the_last_works_are_told_the_latest_first() -> None:
    status = status_of(
        noted("done", 9, work=["pruned", "fed"], analysis="10-10-10"), noted("done", 2, work=["watered"])
    )
    assert status.works == (
        ("Watered", date(2026, 4, 18)), ("Pruned", date(2026, 4, 11)), ("Fed 10-10-10", date(2026, 4, 11)),
    )  # fmt: skip


def test_fruit_waits_for_the_spray_whose_days_end_last() -> None:
    # Whole days from the day of the spray: NPIC, preharvest interval page.
    long = noted("done", 10, work=["sprayed"], days_before_harvest=14)
    short = noted("done", 2, work=["sprayed"], days_before_harvest=1)
    assert status_of(long, short).cautions == (
        "Do not pick before 24 Apr: sprayed 10 Apr. The label governs.",
    )
    assert status_of(long, short, today=date(2026, 4, 23)).cautions
    assert not status_of(long, short, today=date(2026, 4, 24)).cautions
    # also of a plant that grows no more: its fruit may hang still
    assert status_of(long, plant=a_plant("dead")).cautions


@pytest.mark.parametrize(("hours", "days"), [(4, 1), (24, 1), (36, 2), (48, 2)])
def test_the_hours_after_a_spray_are_counted_from_the_end_of_its_day(hours: int, days: int) -> None:
    spray = noted("done", 0, work=["sprayed"], hours_before_reentry=hours)
    last = status_of(spray, today=TODAY + timedelta(days=days))
    assert last.cautions == (f"Sprayed 20 Apr: stay out for {hours} h. The label governs.",)
    assert not status_of(spray, today=TODAY + timedelta(days=days + 1)).cautions


PESTS = st.sampled_from(
    [{"problem": "melanose"}, MINED, {"problem": "melanose", "seen": "none"}, {"seen": "none"}]
)


@given(st.lists(st.tuples(st.integers(-1, 400), PESTS), max_size=8))
def test_open_is_what_was_seen_after_the_last_clear_look(seen: list[tuple[int, dict[str, str]]]) -> None:
    entries = [noted("pest", days, number, **details) for number, (days, details) in enumerate(seen)]
    expected = set()
    for entry in sorted(entries, key=lambda entry: (entry.seen_on, entry.corrected_at)):
        if entry.subject == "any":
            expected.clear()
        elif "seen" in entry.details:
            expected.discard(entry.subject)
        else:
            expected.add(entry.subject)
    within = {
        name
        for name in expected
        if min((TODAY - entry.seen_on).days for entry in entries if entry.subject == name) <= 365
    }
    assert {trouble.subject for trouble in status_of(*entries).troubles} == within
