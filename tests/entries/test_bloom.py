from datetime import date

import pytest

from walkabout.entries.bloom import likely_stage
from walkabout.entries.facts import KindFacts
from walkabout.entries.kinds import check, headline, kind
from walkabout.reference.crops import crops


def facts(crop: str, *stages: str) -> KindFacts:
    return KindFacts(crop, grafted=None, units="metric", today=date(2026, 7, 1), stages=stages)


@pytest.mark.parametrize("crop", [crop for crop in crops() if crop not in ("fig", "banana")] + ["medlar"])
def test_full_bloom_stands_ready_when_nothing_is_recorded(crop: str) -> None:
    form = kind("bloom").draw(facts(crop))
    assert form.stage.data.endswith("/65")  # BBCH 65: full flowering, in every scale


@pytest.mark.parametrize(
    ("crop", "seen", "ready"),
    [
        ("apple", ("crop/65",), "crop/67"),
        ("apple", ("none",), "crop/65"),
        ("apple", ("crop/67",), None),  # fruit set is no bloom
        ("banana", (), "stem/61"),
        ("fig", (), None),
        ("blackberry", ("floricane/60",), "floricane/65"),
        ("medlar", ("crop/60",), "crop/65"),
    ],
)
def test_the_next_stage_stands_ready(crop: str, seen: tuple[str, ...], ready: str | None) -> None:
    assert likely_stage(facts(crop, *seen)) == ready


def test_a_stage_of_another_crop_is_kept() -> None:
    # The crop may have been corrected while the entry waited on a phone.
    kept = check("bloom", {"stage": "breba/51"}, facts("apple"))
    assert headline("bloom", kept, facts("apple")) == "Breba knobs"


def test_no_share_of_flowers_with_none_yet() -> None:
    assert check("bloom", {"stage": "none", "share": "0-10"}, facts("apple")) == {"stage": "none"}
