from datetime import date

import pytest

from walkabout.entries.facts import KindFacts
from walkabout.entries.kinds import check, kind
from walkabout.entries.pest import ranked_problems
from walkabout.reference.crops import crops

CITRUS = ("lemon", "lime", "mandarin", "sweet_orange", "grapefruit", "kumquat")


def facts(crop: str, month: int = 7, **more: object) -> KindFacts:
    return KindFacts(crop, grafted=None, units="us", today=date(2026, month, 15), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("crop", CITRUS)
@pytest.mark.parametrize("month", range(1, 13))
@pytest.mark.parametrize("warm", [True, False])
def test_leafminer_is_in_sight_on_citrus_all_year(crop: str, month: int, *, warm: bool) -> None:
    form = kind("pest").draw(facts(crop, month, warm=warm))
    assert "citrus_leafminer" in dict(form.problem.in_sight)


@pytest.mark.parametrize("crop", [*crops(), "medlar", "quince"])
def test_every_problem_of_the_crop_is_offered_once(crop: str) -> None:
    offered = [value for value, _ in kind("pest").draw(facts(crop)).problem.choices]
    assert len(offered) == len(set(offered))
    likely, others = ranked_problems(facts(crop))
    assert set(offered) == {*likely, *others, "other", "any"}
    assert not {"frost_injury", "hail", "wind_damage", "drought_stress"} & set(offered)  # noted as damage


def test_what_is_open_comes_first() -> None:
    likely, _ = ranked_problems(facts("mandarin", open_problems=("sooty_mold",)))
    assert likely[0] == "sooty_mold"


def test_none_seen_keeps_no_part_and_no_share() -> None:
    details = {"problem": "melanose", "seen": "none", "part": "leaves", "share": "0-10"}
    assert check("pest", details, facts("lemon")) == {"problem": "melanose", "seen": "none"}
    assert check("pest", {"problem": "melanose", "seen": "yes"}, facts("lemon")) == {"problem": "melanose"}


def test_any_problem_of_the_books_is_kept() -> None:
    assert check("pest", {"problem": "fire_blight"}, facts("lemon")) == {"problem": "fire_blight"}


def test_words_alone_are_another_problem() -> None:
    assert check("pest", {"words": "  Stink   bug "}, facts("lemon")) == {
        "problem": "other",
        "words": "Stink bug",
    }


@pytest.mark.parametrize("seen", [{}, {"seen": "yes"}, {"seen": "none"}])
def test_looked_and_none_at_all(seen: dict[str, str]) -> None:
    kept = check("pest", {"problem": "any", "share": "0-10", **seen}, facts("lemon"))
    assert kept == {"seen": "none"}
    assert kind("pest").draw(facts("lemon"), kept).problem.data == "any"


def test_an_untouched_form_says_nothing_yet() -> None:
    form = kind("pest").draw(facts("lemon"))
    assert form.problem.blank is None  # so that a page asks for an answer before it lets the form go
    assert (form.problem.data, form.seen.data) == (None, "yes")
