"""What a kind of entry must know of the plant and its yard to offer, to check and to tell."""

from dataclasses import dataclass
from datetime import date

_GRAFTED = {
    "grafted": True,
    "budded": True,
    "cutting": False,
    "layer": False,
    "seed": False,
    "sucker": False,
    "division": False,
    "runner": False,
}


@dataclass(frozen=True, slots=True)
class KindFacts:
    """Facts about one plant on one day.

    The first four are needed to check an entry; the rest only order and preselect what the page offers, and may
    be left out where nothing is drawn.

    Attributes:
        crop: key of the crop, or the grower's own word.
        grafted: True on a rootstock, False on its own roots, None when not known.
        units: "us" or "metric", the units of the yard.
        today: civil date of the yard.
        warm: a yard with little frost.
        southern: south of the equator.
        stages: codes of the stages seen this season, the latest first; "none" may be among them.
        open_problems: ids of open problems, the latest first.
        tasks: (id, title) of the tasks that can be done now, the most urgent first.
        limbs: (id, name) of the plant's growing limbs.
        ended_limbs: the same of those that are dead or gone, which earlier entries may name.
    """

    crop: str
    grafted: bool | None
    units: str
    today: date
    warm: bool = False
    southern: bool = False
    stages: tuple[str, ...] = ()
    open_problems: tuple[str, ...] = ()
    tasks: tuple[tuple[str, str], ...] = ()
    limbs: tuple[tuple[str, str], ...] = ()
    ended_limbs: tuple[tuple[str, str], ...] = ()


def grafted(raised: str) -> bool | None:
    """Whether a plant raised so stands on a rootstock: False on its own roots, None when the word does not say."""
    return _GRAFTED.get(raised)
