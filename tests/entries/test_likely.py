"""The six first choices. They come from judgement (quick-entry.toml); only their order and reach are checked."""

from dataclasses import replace
from datetime import date

import pytest

from walkabout.entries.bloom import likely_stage
from walkabout.entries.facts import KindFacts
from walkabout.entries.kinds import KINDS, check
from walkabout.entries.likely import SHOWN, likely_choices
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
                assert check(choice.kind, choice.preset, facts) == choice.preset


@pytest.mark.parametrize("crop", [*crops(), "medlar"])
@pytest.mark.parametrize("month", range(1, 13))
def test_what_must_be_near_is_always_among_them(crop: str, month: int) -> None:
    """Without it a press on "All kinds" would come before the presses that test_templates counts."""
    bare = KindFacts(crop, None, "metric", date(2026, month, 9))
    busy = replace(bare, open_problems=("hail", "ants"), tasks=((TASK, "Thin"),), stages=("crop/60",))
    for warm in (True, False):
        for facts in (replace(bare, warm=warm), replace(busy, warm=warm)):
            choices = likely_choices(facts)
            assert {"bloom", "pest", "damage"} <= {choice.kind for choice in choices}
            stage = likely_stage(facts)
            assert (stage or "") in [
                choice.preset.get("stage", "") for choice in choices if choice.kind == "bloom"
            ]


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
