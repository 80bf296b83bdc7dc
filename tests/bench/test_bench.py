"""The benchmarks run, each at a small size; their times are judged by nobody here. Two counts are: they are not times."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.bench.__main__ import NAMES
from tests.cast import TODAY, new_entry
from walkabout.records.entries import keep_entries

if TYPE_CHECKING:
    from tests.cast import Cast
    from walkabout.records.plants import Plant

MOST_QUERIES = 12
MOST_KB = 100


@pytest.mark.bench
@pytest.mark.parametrize("name", NAMES)
def test_a_small_run_gives_figures(name: str, tmp_path: Path) -> None:
    figures = list(importlib.import_module(f"tests.bench.{name}").measured(tmp_path, scale=0.01, full=False))
    assert figures
    assert all(figure.value > 0 for figure in figures)
    if name == "first_visit":
        assert figures[0].value <= MOST_KB


@pytest.mark.parametrize("entries", [0, 1, 300])
def test_the_plant_page_makes_few_queries_however_many_entries(
    entries: int,
    cast: Cast,
    plant: Plant,
    count_queries: Callable[[], AbstractContextManager[list[str]]],
) -> None:
    keeper = cast.keeper.person
    assert keeper is not None
    kinds = (("pest", {"seen": "none"}), ("bloom", {"stage": "none"}), ("note", {"words": "x"}))
    for number in range(entries):
        kind, details = kinds[number % 3]
        seen_on = TODAY - timedelta(days=number)
        keep_entries([new_entry(plant, keeper, kind, subject=f"s{number}", seen_on=seen_on, **details)])
    with count_queries() as queries:
        assert cast.keeper.get(f"/plants/{plant.id}").status_code == 200
    assert len(queries) <= MOST_QUERIES, "\n".join(queries)
