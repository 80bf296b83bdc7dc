"""Growth. Stage codes: general BBCH scale (Hack et al. 1992): 0 to 4 buds, leaves and shoots, 9 rest."""

from datetime import date
from typing import Any

import pytest

from walkabout.entries.facts import KindFacts, grafted
from walkabout.entries.kinds import check, headline, kind, subject
from walkabout.errors import BadInput
from walkabout.reference.crops import crops
from walkabout.reference.stages import flowering_stages, growth_stages, stage


def facts(
    crop: str, month: int = 3, *, raised: str = "grafted", units: str = "metric", **more: Any
) -> KindFacts:
    return KindFacts(crop, grafted(raised), units, date(2026, month, 10), **more)


def offered(about: KindFacts, *, folded: bool = False) -> list[str]:
    field = kind("growth").draw(about).stage
    return [value for value, _words in (field.choices if folded else field.in_sight)]


@pytest.mark.parametrize(
    ("crop", "stages"),
    [
        ("mandarin", ["leaf/7", "leaf/15", "leaf/19"]),  # a flush: starts, soft, hardened
        ("fig", ["leaf/0", "leaf/1", "leaf/9", "leaf/93"]),
        ("apple", ["leaf/0", "crop/51", "crop/53", "leaf/93", "leaf/97"]),  # pome: 51 swell, 53 bud burst
        ("blackberry", ["floricane/7", "primocane/9"]),
        (
            "medlar",
            ["leaf/1", "leaf/7", "leaf/15", "leaf/19", "leaf/93"],
        ),  # unknown to the books: the general scale
    ],
)
def test_the_stages_of_the_crop_are_in_sight(crop: str, stages: list[str]) -> None:
    seen = offered(facts(crop))
    assert set(stages) <= set(seen)
    assert {"shoots", "none"} <= set(seen)


@pytest.mark.parametrize("crop", [*crops(), "medlar"])
def test_growth_and_bloom_share_only_the_buds_that_tell_of_waking(crop: str) -> None:
    # Flower buds swell and break before leaf buds on pome and stone fruit, currants and blueberries: BBCH 51 to 53.
    both = set(growth_stages(crop)) & set(flowering_stages(crop))
    assert growth_stages(crop)
    assert flowering_stages(crop)
    assert all(one.bbch in range(51, 54) for one in both)
    assert all(one.bbch in range(50, 70) for one in flowering_stages(crop))


def test_what_the_month_brings_stands_first() -> None:
    assert offered(facts("apple", 11))[0] == "leaf/93"  # leaves fall in November
    assert offered(facts("apple", 5, southern=True))[0] == "leaf/93"  # and in May south of the equator
    assert (
        offered(facts("mandarin", 3, warm=True, stages=("leaf/7",)))[0] == "leaf/15"
    )  # after the flush started


@pytest.mark.parametrize(
    ("raised", "regrowth"),
    [
        ("grafted", ["regrowth_above", "regrowth_below", "regrowth_roots"]),
        ("", ["regrowth_above", "regrowth_below", "regrowth_roots"]),
        ("cutting", ["regrowth_ground", "regrowth_roots"]),
        ("seed", ["regrowth_ground", "regrowth_roots"]),
    ],
)
def test_only_a_grafted_plant_grows_from_beside_its_union(raised: str, regrowth: list[str]) -> None:
    about = facts("fig", raised=raised)
    assert [one for one in offered(about, folded=True) if one.startswith("regrowth")] == regrowth
    for value in regrowth:
        assert subject("growth", check("growth", {"stage": value}, about)) == "regrowth"


@pytest.mark.parametrize(
    ("crop", "details", "words", "about"),
    [
        ("fig", {"stage": "none"}, "Looked, not awake yet", "leaf"),
        ("mandarin", {"stage": "none"}, "Looked, no new growth yet", "leaf"),
        ("fig", {"stage": "leaf/9"}, "Bud break", "leaf"),
        ("apple", {"stage": "crop/75"}, "Half grown", "crop"),
        ("fig", {"stage": "shoots", "shoot_cm": 30.0}, "New shoots, 30 cm long", "shoots"),
        ("fig", {"stage": "leaf/33", "shoot_cm": 12.5}, "Shoots growing, 12.5 cm long", "leaf"),
        ("fig", {"stage": "regrowth_below"}, "Regrowth from below the graft union", "regrowth"),
    ],
)
def test_told(crop: str, details: dict[str, Any], words: str, about: str) -> None:
    assert check("growth", details, facts(crop)) == details
    assert headline("growth", details, facts(crop)) == words
    assert subject("growth", details) == about


def test_a_bloom_entry_follows_a_stage_of_the_same_track() -> None:
    assert subject("growth", {"stage": "crop/53"}) == subject("bloom", {"stage": "crop/60"}) == "crop"


def test_length_in_the_units_of_the_yard() -> None:
    us = facts("fig", units="us")
    kept = check("growth", {"stage": "shoots", "shoot_in": 12}, us)
    assert kept == {
        "stage": "shoots",
        "shoot_cm": pytest.approx(30.48),
    }  # 12 in x 2.54 cm/in (NIST SP 811, B.8)
    assert headline("growth", kept, us) == "New shoots, 12 in long"
    assert kind("growth").draw(us, kept).in_yard_units("shoot_cm").written == "12"


def test_what_sleeps_has_no_shoots() -> None:
    assert check("growth", {"stage": "none", "shoot_cm": 3}, facts("fig")) == {"stage": "none"}


@pytest.mark.parametrize(
    ("details", "field"),
    [
        ({}, "stage"),
        ({"stage": "leaf/8"}, "stage"),
        ({"stage": "shoots", "shoot_cm": 1001}, "shoot_cm"),
        ({"stage": "shoots", "shoot_cm": 1, "shoot_in": 1}, "shoot_in"),
    ],
)
def test_refused(details: dict[str, Any], field: str) -> None:
    assert stage("fig", "leaf/8") is None
    with pytest.raises(BadInput) as refusal:
        check("growth", details, facts("fig"))
    assert refusal.value.field == field
