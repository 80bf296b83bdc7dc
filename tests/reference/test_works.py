"""works.toml is practice and judgement: its joins and its order are checked here."""

import pytest

from walkabout.reference import works as module
from walkabout.reference.crops import crops
from walkabout.reference.tables import TableError, table
from walkabout.reference.works import answers, cautions, groups, likely_works, works

SHOWN = 6


@pytest.mark.parametrize("crop", [*crops(), "medlar"])
def test_six_that_differ_in_every_month(crop: str) -> None:
    for month in range(1, 13):
        likely = likely_works(crop, month, SHOWN, southern=False)
        assert len(likely) == len(set(likely)) == SHOWN
        assert set(likely) <= works().keys()
        assert {"watered", "pruned"} <= set(likely)


def test_the_south_is_six_months_away() -> None:
    for month in range(1, 13):
        here = likely_works("peach", month, SHOWN, southern=True)
        assert here == likely_works("peach", (month + 5) % 12 + 1, SHOWN, southern=False)


@pytest.mark.parametrize(
    ("crop", "month", "work"),
    [
        # UC Master Gardeners, Stanislaus County, helpline FAQ: thin peach and nectarine at about 3/4 in, in spring
        ("peach", 4, "thinned"),
        ("apple", 1, "scion_taken"),  # common practice, no source: scion wood is cut dormant
        ("mandarin", 12, "protected"),  # common practice, no source
        ("fig", 2, "cuttings_taken"),  # common practice, no source: dormant wood
        ("sweet_cherry", 5, "netted"),  # common practice, no source: before fruit colours
        # common practice, no source: apricot and cherry are cut in dry summer, for the cankers that come in with rain
        ("apricot", 8, "pruned"),
    ],
)
def test_work_of_the_season_is_in_sight(crop: str, month: int, work: str) -> None:
    assert work in likely_works(crop, month, SHOWN, southern=False)


def test_no_winter_cut_is_first_for_what_cankers() -> None:
    """They stand in sight all the same, as "pruned" always does; the month itself does not bring them."""
    for crop in ("apricot", "sweet_cherry", "sour_cherry"):
        for work in works().values():
            if work.group == "cuts" and "blade" in work.cautions:
                assert not module._months_of(work, crop) & {12, 1, 2}


def test_every_group_holds_work_and_every_set_and_caution_is_used() -> None:
    assert {work.group for work in works().values()} == set(groups())
    assert {name for work in works().values() for name in work.months} == set(table("works")["crops"])
    assert {key for work in works().values() for key in work.cautions} == set(cautions())
    asked = {name for work in works().values() for name in work.asks}
    assert {row["field"] for row in table("works")["answer"]} <= asked
    assert answers("product") == ()


def test_cautions_stand_where_the_risk_is_and_defer() -> None:
    """Sprays defer to the label, cuts to a licensed arborist, lights to the local code."""
    for key, caution, words in (
        ("sprayed", "label", "The label on the product governs"),
        ("pruned", "blade", "licensed arborist"),
        ("headed", "blade", "licensed arborist"),
        ("protected", "power", "local code governs"),
        ("grafted", "quarantine", "plant health office"),
    ):
        assert caution in works()[key].cautions
        assert words in cautions()[caution]


GOOD = {"key": "raked", "words": "Raked", "group": "water", "basis": "practice"}


@pytest.mark.parametrize(
    ("wrong", "reason"),
    [
        ({"key": " "}, "key must be a text"),
        ({"words": 5}, "words must be a text"),
        ({"group": "housework"}, "group must be one of"),
        ({"basis": "gossip"}, "basis must be one of"),
        ({"asks": "product"}, "asks must be a list"),
        ({"cautions": ["dragons"]}, "no caution 'dragons'"),
        ({"months": {"turnips": [1]}}, "'turnips' is no set of crops"),
        ({"months": {"all": [0]}}, "different numbers 1 to 12"),
        ({"months": {"all": [3, 3]}}, "different numbers 1 to 12"),
        ({"months": {"all": ["May"]}}, "different numbers 1 to 12"),
        ({"months": {"all": 5}}, "different numbers 1 to 12"),
        ({"months": [5]}, "months must name sets of crops"),
        ({"moths": {"all": [5]}}, "moths is no part of a work"),
    ],
)
def test_a_wrong_row_is_refused_by_name(wrong: dict[str, object], reason: str) -> None:
    assert module._read(GOOD, "works.toml work raked").key == "raked"
    with pytest.raises(TableError, match=r"^works.toml work raked: ") as refusal:
        module._read(GOOD | wrong, "works.toml work raked")
    assert reason in refusal.value.message


def test_near_and_usual_must_be_works() -> None:
    with pytest.raises(TableError, match="'raked' is no work of this table"):
        module._known(("watered", "raked"), "works.toml near")
