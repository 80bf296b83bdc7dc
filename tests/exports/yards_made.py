"""Yards of every sort, made at random through the records' own functions."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from tests.cast import new_entry, set_up_yard
from tests.photo_files import lay_photo
from walkabout.entries.kinds import KINDS
from walkabout.records import limbs, merges, people, plants, refusals, sessions, spots, tags, tasks, yards
from walkabout.records.entries import keep_entries
from walkabout.tags.codes import make_code

SEEN = sorted(KINDS.keys() - {"withdrawal"})
START = datetime(2026, 3, 1, 12, tzinfo=UTC)
Draw = Callable[[st.SearchStrategy[Any]], Any]
# What breaks tables: signs that begin a formula, quotes, separators, ends of line, nothing, much, other scripts.
ODD = st.sampled_from([
    "=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "\nx", "'", "''=1", "'=1", "＝1", '"', '""', "a,b;c", "a\r\nb", "a\rb",
    " ", "", "é", "e\u0301", "\ufeff", "𝄞", "عربي", "\x00", "\x1a", "NULL", "true", "1e5", "007", "1/2/2024", "=cmd|' /C calc'!A0",
])  # fmt: skip
TEXTS = st.one_of(ODD, st.text(max_size=20))
NAMES = st.one_of(ODD.filter(lambda text: text.strip() != ""), st.text(min_size=1, max_size=12)).map(
    lambda text: text if text.strip() else "x"
)
NUMBERS = st.one_of(
    st.none(),
    st.floats(allow_nan=False, allow_infinity=False),
    st.integers(-5, 5),
    st.sampled_from([0.1, 1e-9]),
)
PARTS = st.one_of(st.none(), st.sampled_from(["2021", "2021-03", "2021-03-14", "1999-12-31"]))
DETAILS = st.dictionaries(
    st.one_of(
        st.sampled_from(["words", "weight_kg", "stage", "works", "photos_of", "limb"]), st.text(max_size=5)
    ),
    st.one_of(
        TEXTS,
        st.integers(-(2**53), 2**53),
        st.floats(allow_nan=False, allow_infinity=False),
        st.booleans(),
        st.lists(TEXTS, max_size=3),
    ),
    max_size=4,
)


def make_yard(folder: Path, draw: Draw) -> None:
    """Fill the open database, and the photos of its folder."""
    set_up_yard(
        name=draw(NAMES),
        latitude=draw(st.floats(-90, 90)),
        units=draw(st.sampled_from(["us", "metric"])),
        first_frost=draw(st.sampled_from([None, yards.FrostDate(10, 6)])),
    )
    yards.add_origin("https://yard.example")
    owner, keeper = people.people()[1], people.people()[0]
    gone = people.add_person("=Gone", "long gone and away", "keeper")
    people.end_membership(gone.id)
    sessions.start_session(owner.id, "phone", START)
    sessions.issue_link(keeper.id, START)
    photos = [
        lay_photo(folder, owner, draw(st.binary(min_size=1, max_size=40)) + bytes([n])) for n in range(2)
    ]
    made = _plants(draw)
    for number in range(draw(st.integers(0, 10))):
        _entry(number, draw, made, [owner, keeper, gone], photos)
    refusals.keep_refusals([(draw(TEXTS), draw(TEXTS))], keeper.id)


def _plants(draw: Draw) -> list[plants.Plant]:
    made: list[plants.Plant] = []
    for number in range(draw(st.integers(1, 4))):
        facts = plants.PlantFacts(
            name=draw(NAMES),
            crop=draw(NAMES),
            cultivar=draw(TEXTS),
            rootstock=draw(TEXTS),
            raised=draw(TEXTS),
            planted=draw(PARTS),
            planted_about=draw(st.booleans()),
            spot=draw(st.sampled_from(["", "South bed", "=Row 1"])),
            container=draw(st.booleans()),
            container_litres=draw(NUMBERS),
            training=draw(TEXTS),
            wanted_height_m=draw(NUMBERS),
            source=draw(TEXTS),
            raised_from=draw(st.sampled_from([None, *(plant.id for plant in made)])),
            state=draw(st.sampled_from(plants.STATES)),
            ended=draw(PARTS),
            ended_why=draw(TEXTS),
        )
        plant = plants.add_plant(facts)
        made.append(plant)
        code = tags.issue_tag(plant.id, make_code).code
        if draw(st.booleans()):
            tags.retire_tag(code, START)
        if draw(st.booleans()):
            limbs.add_limb(plant.id, limbs.LimbFacts(draw(NAMES), "", draw(TEXTS), draw(PARTS)))
        if draw(st.booleans()):
            owner = people.people()[1]
            closes = draw(st.sampled_from([None, date(2026, 5, number + 1)]))
            tasks.add_task(plant.id, draw(NAMES), date(2026, 5, 1), closes, owner.id)
    spots.save_spot("Empty hole", draw(st.floats(0, 99)), None)
    if len(made) > 1 and draw(st.booleans()):
        merges.merge_plants(made[1].id, made[0].id)
    return made


def _entry(
    number: int, draw: Draw, made: list[plants.Plant], authors: list[people.Person], photos: list[str]
) -> None:
    """One entry: a new one, or a correction or withdrawal of one that may be there or not."""
    plant = draw(st.sampled_from(made))
    named = str(uuid.UUID(int=draw(st.integers(0, number))))
    link: dict[str, Any] = draw(st.sampled_from([{}, {}, {"replaces": named}, {"withdraws": named}]))
    kind = "withdrawal" if "withdraws" in link else draw(st.sampled_from(SEEN))
    details = {} if "withdraws" in link else draw(DETAILS)
    if draw(st.booleans()):
        details["photos"] = draw(st.sampled_from([photos, photos[:1], ["0" * 64]]))
    new = new_entry(
        plant,
        draw(st.sampled_from(authors)),
        kind,
        subject=draw(TEXTS),
        seen_on=date(2020, 1, 1) + timedelta(days=draw(st.integers(0, 2500))),
        made_at=START + timedelta(milliseconds=draw(st.integers(0, 10**10))),
        entry_id=str(uuid.UUID(int=number)),
        **link,
    )
    new.details = details
    new.clock_difference = draw(st.sampled_from([None, 0.0, -3600.25, 1e-7]))
    assert keep_entries([new])[0].word == "stored"
