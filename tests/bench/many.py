"""One press on many plants: the server's time against as many single entries, and the pages of groups in a large yard."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

from tests.bench.filled import Filled, as_sent, filled
from tests.bench.measure import Figure, by_turns, middle
from tests.cast import NOW, TODAY, new_entry, new_id
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.records.walk import stands
from walkabout.records.yards import the_yard
from walkabout.sync import pages
from walkabout.sync.inbox import MOST_ENTRIES, take
from walkabout.web.many_keeping import keep_on_many

PLANTS = 80
LARGE = 4_000
DETAILS = {"work": ["watered"], "water_l": 20}


def batches(plants: list[Plant], keeper: Person) -> list[list[dict[str, Any]]]:
    """The same note on each plant, as a phone sends it after one press."""
    sent = [
        as_sent(new_entry(plant, keeper, "done", seen_on=TODAY - timedelta(days=1), **DETAILS))
        for plant in plants
    ]
    return [sent[start : start + MOST_ENTRIES] for start in range(0, len(sent), MOST_ENTRIES)]


def pushed(yard: Filled, turns: int) -> tuple[float, float]:
    """The median seconds of the batches of one press, and of the same entries sent one by one."""
    keeper, place = yard.cast.keeper.person, the_yard()
    assert keeper is not None
    together, apart = ([batches(yard.plants, keeper) for _ in range(turns + 1)] for _ in range(2))

    def push(waiting: list[list[dict[str, Any]]]) -> None:
        for batch in waiting:
            answers = take(batch, keeper, place, NOW)
            assert {answer.word for answer in answers} == {"stored"}, answers

    return by_turns(
        lambda: push(together.pop()),
        lambda: push([[entry] for batch in apart.pop() for entry in batch]),
        turns,
    )


def posted(yard: Filled, turns: int) -> float:
    """The median seconds of the ordinary form, which keeps all in one transaction."""
    cookie = yard.cast.keeper.client.get_cookie("walkabout")
    assert cookie is not None
    with yard.app.test_request_context("/", headers={"Cookie": f"walkabout={cookie.value}"}):
        return middle(lambda: keep_on_many(stands(), "done", DETAILS, TODAY, new_id()), turns)


def measured(folder: Path, *, scale: float, full: bool) -> Iterator[Figure]:
    """Yield the figures; `scale` below 1 makes the work smaller."""
    turns, count, large = 15 if full else 7, max(2, round(PLANTS * scale)), max(2, round(LARGE * scale))
    with filled(folder / "press", count, count) as yard:
        together, apart = pushed(yard, turns)
        form = posted(yard, turns)
    yield Figure(f"one press on {count} plants, in batches of {MOST_ENTRIES}", together * 1000, "ms")
    yield Figure(f"the same entries sent one by one, {count} requests", apart * 1000, "ms")
    yield Figure("the press against one by one", together / apart, "x", goal=0.5)
    yield Figure(f"one press on {count} plants by the form, one transaction", form * 1000, "ms")
    with filled(folder / "large", large, large) as yard:
        keeper = yard.cast.keeper.person
        assert keeper is not None
        for path in ("/many", "/many/all", "/many/these", "/many/crop-apple"):
            took = middle(lambda path=path: yard.page(path), turns)
            yield Figure(f"{path}, {large} plants", took * 1000, "ms")
            yield Figure(f"{path}, {large} plants, bytes on the wire", len(yard.page(path).data) / 1000, "KB")
        etag = yard.page("/many/all").headers["ETag"]
        again = middle(lambda: yard.cast.keeper.get("/many/all", headers={"If-None-Match": etag}), turns)
        yield Figure(f"/many/all, {large} plants, unchanged (304)", again * 1000, "ms")
        listing = middle(lambda: pages.listing(keeper.id, TODAY), turns)
        yield Figure(f"the list of pages for a phone, {large} plants", listing * 1000, "ms")
        onward = middle(lambda: yard.cast.keeper.get(f"/plants/{yard.plants[0].id}/next"), turns)
        yield Figure(f"on to the next plant, {large} plants", onward * 1000, "ms")
