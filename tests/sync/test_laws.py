"""Whatever becomes of the batches on their way, the same records and the same page come of them."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.cast import NOW, TODAY, gather, plant_one, set_up_yard
from tests.sync.sent import sent
from walkabout.app import create_app
from walkabout.records import standing_table, yards
from walkabout.records.database import close_database, database, open_database
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.sync import inbox

# What may differ between two roads to the same records: when and in which order the server got them, and ids and
# codes that it draws at random for the yard itself.
CHANGES = re.compile(r'data-page-version="[^"]*"')


def told(plants: Sequence[Plant], people: Sequence[Person], draw: st.DrawFn) -> list[dict[str, Any]]:
    """Some entries, and corrections and withdrawals of them and of one another."""
    made: list[dict[str, Any]] = []
    for number in range(draw(st.integers(1, 7))):
        author = draw(st.sampled_from(people))
        moment = NOW + timedelta(seconds=draw(st.integers(-90, 90)))
        links: dict[str, Any] = {
            "entry_id": f"01a2{number:04x}-0000-7000-8000-000000000000",
            "made_at": moment,
        }
        plant, kind, details = draw(st.sampled_from(plants)), "note", {"words": f"note {number}"}
        what = draw(st.sampled_from(["new", "replaces", "withdraws"])) if made else "new"
        if what != "new":
            target = draw(st.sampled_from(made))
            plant = next(one for one in plants if one.id == target["plant"])
            links[what] = target["id"]
            kind, details = ("withdrawal", {}) if what == "withdraws" else (kind, details)
        seen_on = TODAY - timedelta(days=draw(st.integers(0, 400)))
        made.append(sent(plant, author, kind, seen_on=seen_on, **links, **details))
    return made


def outcome(folder: Path, batches: Sequence[Sequence[dict[str, Any]]] | None, draw: st.DrawFn | None) -> Any:
    """Set the yard up, send, and give what was made, what is recorded, and what the pages say."""
    open_database(folder, create=True)
    try:
        people = set_up_yard()
        plants = [plant_one("Old gate fig", "fig"), plant_one("Corner apple", "apple")]
        if batches is None:
            assert draw is not None
            batches = [told(plants, people, draw)]
        names = {person.id: person.name for person in people} | {plant.id: plant.name for plant in plants}
        yard = yards.the_yard()
        for batch in batches:
            for person in people:
                own = [_here(entry, people, plants) for entry in batch]
                inbox.take([entry for entry in own if entry["author"] == person.id], person, yard, NOW)
        assert standing_table.standing_faults() == []
        app = create_app(folder, {"CLOCK": lambda: NOW, "TESTING": True})
        keeper = gather(app, *people).keeper
        pages = [_plain(keeper.get(f"/plants/{plant.id}").text, people, plants) for plant in plants]
        rows = database.execute_sql(
            "SELECT id, details, replaces, withdraws, corrected_at FROM entry ORDER BY id"
        )
        standing = database.execute_sql(
            "SELECT entry_id, root_id, corrections FROM standing ORDER BY entry_id"
        )
        return [[_away(entry, names) for entry in batch] for batch in batches], (
            rows.fetchall(),
            standing.fetchall(),
            pages,
        )
    finally:
        close_database()


def _away(entry: dict[str, Any], names: dict[str, str]) -> dict[str, Any]:
    """The entry with names in place of the ids of this yard."""
    return entry | {key: names.get(entry[key], entry[key]) for key in ("author", "plant")}


def _here(entry: dict[str, Any], people: Sequence[Person], plants: Sequence[Plant]) -> dict[str, Any]:
    """The entry with the ids of this yard in place of names."""
    ids = {person.name: person.id for person in people} | {plant.name: plant.id for plant in plants}
    return entry | {key: ids.get(entry[key], entry[key]) for key in ("author", "plant")}


def _plain(page: str, people: Sequence[Person], plants: Sequence[Plant]) -> str:
    for one in (*people, *plants):
        page = page.replace(one.id, one.name)
    for plant in plants:
        code = plant.code or ""
        page = page.replace(code, "CODE").replace(f"{code[:3]}-{code[3:]}", "CODE")
    return CHANGES.sub("", page)


@st.composite
def roads(draw: st.DrawFn) -> tuple[Any, Any]:
    """One yard that gets every entry once in the order made, and one that gets them in any other way."""
    with tempfile.TemporaryDirectory() as folder:
        made, straight = outcome(Path(folder) / "straight", None, draw)
    flat = made[0]
    again = [draw(st.sampled_from(flat)) for _ in range(draw(st.integers(0, 6)))]
    order = draw(st.permutations([*flat, *again]))
    batches = []
    while order:
        size = draw(st.integers(1, len(order)))
        batches.append(order[:size])
        order = order[size:]
    with tempfile.TemporaryDirectory() as folder:
        _, winding = outcome(Path(folder) / "winding", batches, None)
    return straight, winding


# A yard in a real file is made twice for each example, so there are fewer of them; --full is for the records' own laws.
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
@given(both=roads())
def test_any_order_doubling_and_cutting_up_leaves_the_same_records_and_pages(both: tuple[Any, Any]) -> None:
    straight, winding = both
    assert winding == straight
