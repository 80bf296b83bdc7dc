"""The order in which one walks through the yard, and what stands next in it. Pure: where plants stand comes in.

By spot, then by the plant's name, both as people count: Row 2 before Row 10. What has no spot comes last. Only growing
plants are walked past; the place of any other in the order is known all the same, so that its page leads on too.
"""

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from walkabout.records.plants import folded
from walkabout.records.walk import Stand

WALKED = "growing"
_NUMBERS = re.compile(r"(\d+)")
NaturalKey = tuple[tuple[bool, int, str], ...]


class Beside(NamedTuple):
    """The ids of the plants that one meets before and after another; None at the ends of the walk."""

    before: str | None
    after: str | None


@lru_cache(maxsize=16_384)  # the names of a large yard, asked for again after every change
def natural_key(name: str) -> NaturalKey:
    """What names are put in order by: numbers in them by size, letters without capitals and accents."""
    parts = _NUMBERS.split(folded(name))
    # Every other part is a number. Numbers come before letters, as in the lists of files that people know.
    return tuple(_by_size(part) if place % 2 else (True, 0, part) for place, part in enumerate(parts) if part)


def _by_size(digits: str) -> tuple[bool, int, str]:
    """A number of any length; of two of one length the larger has the larger first digit that differs."""
    known = digits.lstrip("0")
    return False, len(known), known


def in_walking_order(stands: Iterable[Stand]) -> list[Stand]:
    """All of them in walking order; the same whatever order they came in."""
    return sorted(
        stands,
        key=lambda stand: (
            not stand.spot,
            natural_key(stand.spot),
            natural_key(stand.name),
            stand.name,
            stand.plant_id,
        ),
    )


def beside(order: Sequence[Stand], plant_id: str) -> Beside:
    """What is walked past before and after a plant of the order.

    Raises:
        ValueError: it is not among them.
    """
    place = next((place for place, stand in enumerate(order) if stand.plant_id == plant_id), None)
    if place is None:
        raise ValueError(f"{plant_id} is not in this order")
    walked = [(at, stand.plant_id) for at, stand in enumerate(order) if stand.state == WALKED]
    return Beside(
        before=next((plant for at, plant in reversed(walked) if at < place), None),
        after=next((plant for at, plant in walked if at > place), None),
    )
