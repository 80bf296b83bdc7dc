"""A list of entries: found plants, exact amounts, answers by their words, and once however often imported."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.cast import NOW
from tests.imports.conftest import PlanEntries
from walkabout.errors import BadInput
from walkabout.imports.entries import EARLIEST, keep_planned
from walkabout.imports.plan import lines_to_skip
from walkabout.records.entries import count_entries
from walkabout.records.plants import Plant
from walkabout.records.stories import story
from walkabout.records.tags import retire_tag

MakePlant = Callable[..., Plant]


@pytest.fixture
def fig(make_plant: MakePlant) -> Plant:
    return make_plant("Old gate fig", "fig", raised="cutting")


@pytest.fixture
def apple(make_plant: MakePlant) -> Plant:
    return make_plant("Porch apple", "apple", raised="grafted")


def kept_of(plant: Plant) -> list[tuple[str, date, dict[str, Any]]]:
    """Kind, day and details of all that stands, oldest first."""
    return [
        (told.entry.kind, told.entry.seen_on, told.entry.details) for told in reversed(story(plant.id, 100))
    ]


def test_amounts_are_harvests(plan_entries: PlanEntries, fig: Plant) -> None:
    made = plan_entries("plant,date,weight_lb\nold gate fig,2024-07-14,12.5\nOld gate fig,2024-07-21,\n")
    assert [str(line) for line in made.lines] == [
        "line 2: add Picked 12.5 lb, Old gate fig, 2024-07-14",
        "line 3: left out: no amount stands there",
    ]
    assert keep_planned(made) == 1
    assert [told.author_name for told in story(fig.id, 5)] == ["Odile"]  # the owner
    # 12.5 lb at 0.45359237 kg (NIST SP 811 (2008), B.8) is 5.669904625 kg; both factors are exact in decimal.
    assert kept_of(fig) == [
        ("harvest", date(2024, 7, 14), {"weight_kg": pytest.approx(5.669904625, rel=1e-15)})
    ]


def test_plants_are_found_by_tag_code_too(plan_entries: PlanEntries, fig: Plant, apple: Plant) -> None:
    assert fig.code is not None
    assert apple.code is not None
    retire_tag(apple.code, NOW)
    shown = f"{fig.code[:3].lower()}-{fig.code[3:].lower()}"
    made = plan_entries(f"tag,date,count\n{shown},2024-07-14,30\n{apple.code},2024-06-14,3\n")
    assert [entry.plant_id for entry in made.ready] == [fig.id, apple.id]


def test_every_kind(plan_entries: PlanEntries, fig: Plant, apple: Plant) -> None:
    made = plan_entries(
        "plant,date,kind,stage,problem,part,share,cause,happened_on,lowest_living,dead_back_to_cm,words\n"
        "Porch apple,2024-03-02,bloom,Full bloom,,,50 to 75 %,,,,,\n"
        "Porch apple,2024-04-02,Pest or disease,,Fire blight,Shoots,0-10,,,,,\n"
        "Porch apple,2024-01-20,damage,,,,,Frost,2024-01-16,Too early to tell,40,\n"
        "Old gate fig,2024-01-20,note,,,,,,,,,Leaned on the gate.\n"
    )
    assert made.faults == ()
    assert keep_planned(made) == 4
    assert kept_of(apple) == [
        (
            "damage",
            date(2024, 1, 20),
            {
                "cause": "frost",
                "happened_on": "2024-01-16",
                "lowest_living": "too_early",
                "dead_back_to_cm": 40.0,
            },
        ),
        ("bloom", date(2024, 3, 2), {"stage": "crop/65", "share": "50-75"}),
        ("pest", date(2024, 4, 2), {"problem": "fire_blight", "part": "shoots", "share": "0-10"}),
    ]
    assert kept_of(fig) == [("note", date(2024, 1, 20), {"words": "Leaned on the gate."})]


def test_measures_growth_and_lost_crops(plan_entries: PlanEntries, fig: Plant, apple: Plant) -> None:
    # 7.5 ft x 30.48 cm/ft = 228.6 cm; 10 in x 2.54 cm/in = 25.4 cm (NIST SP 811, B.8)
    made = plan_entries(
        "plant,date,kind,height_ft,girth inches,stage,count,ripe,taste,lost\n"
        "Porch apple,2024-11-02,measured,7.5,10,,,,,\n"
        "Porch apple,2024-03-02,growth,,,Green tip,,,,\n"
        "Porch apple,2024-05-02,fruit_set,,,,240,,,\n"
        "Old gate fig,2024-07-20,harvest,,,,30,just ripe,5,\n"
        "Old gate fig,2024-08-20,harvest,,,,,,,Birds; rot\n"
    )
    assert made.faults == ()
    assert keep_planned(made) == 5
    assert kept_of(fig) == [
        ("harvest", date(2024, 7, 20), {"count": 30, "ripe": "just", "taste": "5"}),
        ("harvest", date(2024, 8, 20), {"lost": ["birds", "rot"]}),
    ]
    growth, fruit, measured = kept_of(apple)
    assert growth == ("growth", date(2024, 3, 2), {"stage": "crop/53"})
    assert fruit == ("fruit_set", date(2024, 5, 2), {"count": 240})
    assert {name: measured[2][name] for name in ("height_cm", "girth_cm")} == {
        "height_cm": pytest.approx(228.6),
        "girth_cm": pytest.approx(25.4),
    }


def test_work_by_its_own_name_and_by_a_column(plan_entries: PlanEntries, fig: Plant, apple: Plant) -> None:
    # 5 gal x 3.785411784 L/gal = 18.92705892 L (NIST SP 811, B.8); 256 tbsp to a gallon (NIST Handbook 44, C)
    made = plan_entries(
        "plant,date,kind,work,pruned for,gallons,spray,rate,rate unit,PHI,notes\n"
        "Old gate fig,2024-01-20,Pruned,,Size; dead wood out,,,,,,\n"
        'Old gate fig,2024-06-02,done,"watered, mulched",,5,,,,,\n'
        "Porch apple,2024-03-02,sprayed,banked,,,Oil,2,tbsp/gal,0,before bud break\n"
    )
    assert made.faults == ()
    assert keep_planned(made) == 3
    assert kept_of(fig) == [
        ("done", date(2024, 1, 20), {"work": ["pruned"], "pruned_for": ["size", "dead"]}),
        ("done", date(2024, 6, 2), {"work": ["watered", "mulched"], "water_l": pytest.approx(18.92705892)}),
    ]
    assert kept_of(apple) == [
        (
            "done",
            date(2024, 3, 2),
            {
                "work": ["sprayed", "banked"],
                "product": "Oil",
                "rate": 2000 / 256,
                "rate_unit": "ml_l",
                "days_before_harvest": 0,
                "words": "before bud break",
            },
        )
    ]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (",2024-01-02,harvest,5,,,", "it names no plant"),
        ("No such tree,2024-01-02,harvest,5,,,", 'there is no plant "No such tree" in this yard'),
        ("Old gate fig,,harvest,5,,,", "it has no date"),
        ("Old gate fig,2026-11-25,harvest,5,,,", "lies in the future"),
        ("Old gate fig,1899-12-31,harvest,5,,,", f"lies before {EARLIEST.year}"),
        (
            "Old gate fig,2024-01-02,picnic,5,,,",
            '"picnic" is no kind of entry; write one of bloom, fruit_set, pest',
        ),
        ("Old gate fig,2024-01-02,withdrawal,,,,", '"withdrawal" is no kind of entry'),
        ("Old gate fig,2024-01-02,harvest,five,,,", '"five" is not a plain number'),
        ("Old gate fig,2024-01-02,harvest,-5,,,", "Write a number from 0"),
        ("Old gate fig,2024-01-02,harvest,,,,sweet", "a harvest without an amount says nothing"),
        ("Old gate fig,2024-01-02,harvest,5,,,sweet", "an entry of kind harvest has no words"),
        ("Old gate fig,2024-01-02,pest,,dragons,,", 'problem "dragons" is not known; write one of: '),
        ("Old gate fig,2024-01-02,damage,,,above,", "on its own roots"),
        ("Old gate fig,2024-01-02,note,,,,", "Write something"),
        ("Old gate fig,2024-01-02,harvest,5,,,,,9", "it has 9 cells and the header has 7"),
    ],
)
def test_wrong_lines_are_named_and_nothing_is_kept(
    plan_entries: PlanEntries, fig: Plant, line: str, says: str
) -> None:
    header = "plant,date,kind,weight_kg,problem,lowest_living,words"
    made = plan_entries(f"{header}\nOld gate fig,2024-01-01,harvest,1,,,\n{line}\n")
    (fault,) = made.faults
    assert fault.number == 3
    assert says in fault.words
    with pytest.raises(BadInput, match="Nothing was written"):
        keep_planned(made)
    assert count_entries() == 0


def test_two_plants_of_one_name_are_asked_about(plan_entries: PlanEntries, make_plant: MakePlant) -> None:
    make_plant("Twin")
    make_plant("twin")
    (fault,) = plan_entries("plant,date,count\nTwin,2024-01-02,5\n").faults
    assert '2 plants are called "Twin"; write the tag code' in fault.words


@pytest.mark.parametrize(
    ("header", "says"),
    [
        ("date,count", "No column for plant was found among: date, count"),
        ("plant,count", "No column for date"),
        ("plant,date,words", "no column kind and none for an amount"),
        ("plant,date,weight", 'column "weight" does not say its unit'),
    ],
)
def test_columns_that_are_needed(plan_entries: PlanEntries, header: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        plan_entries(f"{header}\n{',' * header.count(',')}x\n")


def test_dates_day_first_when_the_column_proves_it(plan_entries: PlanEntries, fig: Plant) -> None:
    text = "plant;date;weight_kg\nOld gate fig;3/7/2024;1,5\nOld gate fig;{};2\n"
    made = plan_entries(text.format("14/7/2024"))
    assert [(entry.seen_on, entry.details["weight_kg"]) for entry in made.ready] == [
        (date(2024, 7, 3), 1.5),
        (date(2024, 7, 14), 2.0),
    ]
    with pytest.raises(BadInput, match="can be read in two ways"):
        plan_entries(text.format("4/7/2024"))
    assert plan_entries(text.format("4/7/2024"), dates="mdy").ready[0].seen_on == date(2024, 3, 7)


def test_a_second_import_adds_nothing(plan_entries: PlanEntries, fig: Plant) -> None:
    text = "plant,date,count\n" + "Old gate fig,2024-07-14,30\n" * 2 + "Old gate fig,2024-07-15,4\n"
    assert keep_planned(plan_entries(text)) == 3
    again = plan_entries(text + "Old gate fig,2024-07-16,5\n")
    assert [line.words.partition(":")[0] for line in again.lines[:3]] == ["already here"] * 3
    assert keep_planned(again) == 1
    assert count_entries() == 4


def test_skipped_lines(plan_entries: PlanEntries, fig: Plant) -> None:
    made = plan_entries(
        "plant,date,count\nNobody,2024-07-14,30\nOld gate fig,2024-07-15,4\n", skip=lines_to_skip("2")
    )
    assert [line.words for line in made.lines] == [
        "left out, as you said",
        "add Picked 4 fruits, Old gate fig, 2024-07-15",
    ]


_DAYS = st.dates(EARLIEST, date(2026, 11, 24))
_POUNDS = st.one_of(st.none(), st.decimals(0, 2000, places=3))


@settings(deadline=None, max_examples=50, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.booleans(), _DAYS, _POUNDS), max_size=12))
def test_the_same_file_twice_stores_once(
    plan_entries: PlanEntries, fig: Plant, apple: Plant, tmp_path: Path, rows: list[tuple[bool, date, Any]]
) -> None:
    out = io.StringIO(newline="")
    lines = [
        (fig.name if first else apple.name, day, "" if pounds is None else pounds)
        for first, day, pounds in rows
    ]
    csv.writer(out).writerows([("plant", "date", "weight_lb"), *lines])
    keep_planned(plan_entries(out.getvalue()))
    here = count_entries()
    assert here >= sum(pounds is not None for *_, pounds in rows)
    again = plan_entries(out.getvalue())
    assert again.ready == ()
    assert keep_planned(again) == 0
    assert count_entries() == here
    # The file again, its lines in another order, says nothing new either.
    turned = io.StringIO(newline="")
    csv.writer(turned).writerows([("plant", "date", "weight_lb"), *reversed(lines)])
    assert plan_entries(turned.getvalue()).ready == ()
