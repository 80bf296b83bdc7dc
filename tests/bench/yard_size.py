"""The same pages in a small yard and in one of a hundred times the plants: 40 plants against 4,000."""

from __future__ import annotations

import random
import statistics
from collections.abc import Iterator
from pathlib import Path

from tests.bench.filled import Filled, filled
from tests.bench.measure import Figure, middle, seconds

SMALL = (40, 20_000)
LARGE = (4_000, 200_000)
VERY_LARGE = (4_000, 2_000_000)
# Plants that were not looked at before, so that nothing is warm on purpose.
VISITS = 40


def plant_pages(yard: Filled) -> float:
    """The median time of the pages of plants that are opened in no order."""
    visited = random.Random(2).sample(yard.plants, min(VISITS, len(yard.plants)))
    yard.page(f"/plants/{visited[0].id}")
    return statistics.median(
        seconds(lambda plant=plant: yard.page(f"/plants/{plant.id}")) for plant in visited
    )


def measured(folder: Path, *, scale: float, full: bool) -> Iterator[Figure]:
    """Yield the figures; `scale` below 1 makes the work smaller."""
    pages: list[float] = []
    for plants, entries in (SMALL, LARGE, *([VERY_LARGE] if full else [])):
        plant_count, entry_count = max(1, round(plants * scale)), round(entries * scale)
        size = f"{plant_count} plants, {entry_count} entries"
        with filled(folder / f"size-{entries}", plant_count, entry_count) as yard:
            pages.append(plant_pages(yard))
            yield Figure(f"plant page, {size}", pages[-1] * 1000, "ms")
            yield Figure(f"list of plants, {size}", middle(lambda: yard.page("/"), 5) * 1000, "ms")
            yield Figure(
                f"filtered list, {size}", middle(lambda: yard.page("/?search=row+7&crop=fig"), 9) * 1000, "ms"
            )
        if len(pages) > 1:
            yield Figure(f"plant page: {size} against the small yard", pages[-1] / pages[0], "x", goal=1.3)
