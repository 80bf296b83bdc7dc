"""The six first choices. They come from judgement (quick-entry.toml); only their order and reach are checked."""

from dataclasses import replace
from datetime import date

import pytest

from walkabout.entries.facts import KindFacts
from walkabout.entries.kinds import KINDS, check
from walkabout.entries.likely import SHOWN, Chosen, choices_without_growth, likely_choices
from walkabout.reference.crops import crops

TASK = "0b1f6f3e-6a60-4a63-9f0e-8f3c5a0e7a11"
APPLE = KindFacts("apple", grafted=True, units="us", today=date(2026, 5, 10))


@pytest.mark.parametrize("crop", [*crops(), "medlar"])
@pytest.mark.parametrize("month", range(1, 13))
def test_six_that_differ_and_can_be_kept(crop: str, month: int) -> None:
    for warm in (True, False):
        facts = KindFacts(crop, None, "metric", date(2026, month, 9), warm=warm, southern=month % 2 == 0)
        choices = likely_choices(facts)
        assert len(choices) == SHOWN
        assert len({(choice.kind, str(choice.preset)) for choice in choices}) == SHOWN
        for choice in choices:
            assert choice.words
            assert choice.kind in KINDS
            if choice.preset:
                more = (
                    {"rough": "few"} if choice.kind == "harvest" else {}
                )  # which crop it is says nothing yet
                assert check(choice.kind, {**choice.preset, **more}, facts) == {**choice.preset, **more}


@pytest.mark.parametrize("crop", [*crops(), "medlar"])
@pytest.mark.parametrize("month", range(1, 13))
def test_what_must_be_near_is_always_among_them(crop: str, month: int) -> None:
    """Without it a press on "All kinds" would come before the presses that test_templates counts."""
    bare = KindFacts(crop, None, "metric", date(2026, month, 9))
    busy = replace(bare, open_problems=("hail", "ants"), tasks=((TASK, "Thin"),), stages=("crop/60",))
    for warm in (True, False):
        for facts in (replace(bare, warm=warm), replace(busy, warm=warm)):
            choices = likely_choices(facts)
            assert {"pest", "damage", "done"} <= {choice.kind for choice in choices}


def test_the_plants_own_record_outranks_the_month() -> None:
    facts = replace(
        APPLE,
        stages=("crop/65",),
        open_problems=("apple_scab",),
        tasks=((TASK, "Thin"), (TASK[:-1] + "2", "Prop")),
    )
    words = [choice.words for choice in likely_choices(facts)]
    assert words[:3] == ["Done: Thin", "Apple scab", "Petal fall"]
    assert "Full bloom" not in words


def test_half_a_year_apart_in_the_south() -> None:
    spring_south = replace(APPLE, today=date(2026, 11, 10), southern=True)
    assert likely_choices(spring_south) == likely_choices(APPLE)


def test_a_long_task_fits_its_button_and_keeps_its_title() -> None:
    title = "Clip the rest of the crop before the first hard freeze"
    first = likely_choices(replace(APPLE, tasks=((TASK, title),)))[0]
    assert first.words == "Done: Clip the rest of the crop b…"
    assert first.preset == {"task": TASK, "words": title}


# Crop, month, warm, southern, stages seen: the choices in front. Which stages a month brings is the table's judgement;
# what is checked against the trade: a dormant tree is pruned (common practice, no source), peaches are thinned about
# four to six weeks after bloom and citrus is protected in winter (works.toml has the sources of its months).
FIXED = [
    ("apple", 1, False, False, (), ["Dormant", "Voles", "Rabbits and hares", "Pruned"]),
    ("apple", 5, False, False, (), ["First pink", "Full bloom", "Frost damage", "Fire blight", "Thinned"]),
    ("apple", 11, False, True, (), ["First pink", "Full bloom", "Frost damage", "Fire blight", "Thinned"]),
    ("apple", 5, False, False, ("crop/65",), ["Petal fall", "Frost damage", "Fire blight", "Thinned"]),
    ("apple", 10, False, False, (), ["Harvest", "Leaf fall begins", "Birds"]),
    ("apple", 4, False, True, (), ["Harvest", "Leaf fall begins", "Birds"]),
    ("peach", 4, True, False, (), ["In the shuck / shuck split", "Plum curculio", "Peach leaf curl", "Thinned"]),
    ("mandarin", 12, True, False, (), ["Harvest", "Winter rest", "Frost damage", "Protected"]),
    ("mandarin", 6, True, True, (), ["Harvest", "Winter rest", "Frost damage", "Protected"]),
    ("mandarin", 7, True, False, (), ["Citrus leafminer", "Sizing", "Orangedog / citrus swallowtail caterpillar", "Watered"]),
    ("mandarin", 4, True, False, (), ["Full bloom", "Petal fall", "Citrus thrips"]),
    ("fig", 7, True, False, (), ["Harvest: main crop", "Swelling", "Birds", "Souring of figs (sap beetles)"]),
    ("fig", 3, True, False, (), ["Leaves separate", "Breba knobs", "Frost damage"]),
    ("bunch_grape", 2, False, False, (), ["Dormant", "Pruned"]),
    ("medlar", 7, False, False, (), ["Watered", "Full bloom"]),
]  # fmt: skip


@pytest.mark.parametrize(("crop", "month", "warm", "southern", "stages", "first"), FIXED)
def test_first_choices(
    crop: str, month: int, warm: bool, southern: bool, stages: tuple[str, ...], first: list[str]
) -> None:
    day = date(2026, month, 10)
    facts = KindFacts(crop, None, "us", day, warm=warm, southern=southern, stages=stages)
    words = [choice.words for choice in likely_choices(facts)]
    assert words[: len(first)] == first


def test_the_ready_stage_is_near_about_bloom_and_not_else() -> None:
    for month in range(1, 13):
        words = [choice.words for choice in likely_choices(replace(APPLE, today=date(2026, month, 10)))]
        # the table's bloom months of a cold yard are May and June
        assert ("Full bloom" in words) == (month in (4, 5, 6, 7)), month


def test_what_this_person_chose_last_is_offered_where_the_plant_can_have_it() -> None:
    chosen = [
        Chosen("pest", {"problem": "citrus_leafminer"}),  # not on an apple
        Chosen("note", {"words": "Gate left open"}),
        Chosen("done", {"work": ["watered", "fed"], "water_l": 10}),
        Chosen("done", {"work": ["watered", "fed"]}),
        Chosen("done", {"task": TASK, "work": ["pruned"]}),  # another plant's task
        Chosen("pest", {"problem": "apple_scab", "share": "0-10"}),
        Chosen("growth", {"stage": "shoots", "shoot_cm": 30}),
    ]
    choices = likely_choices(APPLE, chosen)
    assert [(choice.kind, choice.preset) for choice in choices[:2]] == [
        ("done", {"work": ["watered", "fed"]}),
        ("pest", {"problem": "apple_scab"}),
    ]
    assert choices[0].words == "Watered, fed"
    seen = likely_choices(replace(APPLE, stages=("crop/65",)), [Chosen("bloom", {"stage": "crop/65"})])
    assert seen[0].words == "Petal fall"
    assert "Full bloom" not in [choice.words for choice in seen]


def test_what_this_crop_does_not_have_now_is_not_offered_again() -> None:
    autumn = replace(APPLE, today=date(2026, 11, 10))
    chosen = [
        Chosen("bloom", {"stage": "crop/65"}),
        Chosen("done", {"work": ["banked"]}),
    ]  # a loquat, a citrus
    words = [choice.words for choice in likely_choices(autumn, chosen)]
    assert "Full bloom" not in words
    assert "Banked" not in words
    assert likely_choices(autumn, [Chosen("done", {"work": ["repotted"]})])[0].words == "Repotted"


def test_damage_that_is_open_is_looked_at_again() -> None:
    first = likely_choices(APPLE, damage=("hail", "frost", "a newer program's"))
    assert (first[0].words, first[0].preset) == ("Hail damage", {"cause": "hail"})
    assert likely_choices(APPLE, damage=("a newer program's",)) == likely_choices(APPLE)


def test_a_soft_flush_brings_its_problems_to_the_front() -> None:
    lemon = KindFacts("lemon", True, "us", date(2026, 12, 10), warm=True)
    words = [choice.words for choice in likely_choices(lemon, flush="leaf/15")]
    assert words[:2] == ["Citrus leafminer", "Aphids on citrus"]
    assert likely_choices(lemon, flush="leaf/19") == likely_choices(lemon)  # hardened
    assert likely_choices(APPLE, flush="leaf/15") == likely_choices(APPLE)


def test_of_a_plant_that_does_not_grow_little_is_noted() -> None:
    assert [choice.words for choice in choices_without_growth("ordered")] == ["Planted", "Note"]
    assert [choice.words for choice in choices_without_growth("dead")] == ["Note"]


def test_each_track_has_its_next_stage() -> None:
    fig = KindFacts("fig", False, "us", date(2026, 5, 10), warm=True, stages=("main/51", "leaf/11", "leaf/1"))
    first = likely_choices(fig)[:2]
    assert [choice.kind for choice in first] == ["growth", "growth"]
    assert [choice.preset["stage"].partition("/")[0] for choice in first] == ["main", "leaf"]
