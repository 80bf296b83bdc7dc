"""How the benchmarks measure: middle values of many turns, and two things by turns, so that both see the same machine."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Figure:
    """One measured value.

    Attributes:
        what: in words.
        value: the number.
        unit: "x" for a ratio, else "ms", "s", "KB", "queries", ...
        goal: the most that it should be; None where it is only told.
    """

    what: str
    value: float
    unit: str
    goal: float | None = None

    def __str__(self) -> str:
        told = f"{self.what:<86} {self.value:>10.2f} {self.unit:<8}"
        if self.goal is None:
            return told.rstrip()
        return f"{told} goal {self.goal:g}{'' if self.value <= self.goal else '   MISSED'}"


def seconds(work: Callable[[], object]) -> float:
    """How long one turn takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def middle(work: Callable[[], object], turns: int) -> float:
    """The median of so many turns, after one that does not count."""
    work()
    return statistics.median(seconds(work) for _ in range(turns))


def by_turns(one: Callable[[], object], other: Callable[[], object], turns: int) -> tuple[float, float]:
    """The medians of two works that take turns, after one turn each that does not count."""
    one(), other()
    pairs = [(seconds(one), seconds(other)) for _ in range(turns)]
    return statistics.median(first for first, _ in pairs), statistics.median(last for _, last in pairs)
