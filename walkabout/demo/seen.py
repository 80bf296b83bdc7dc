"""One thing that was seen or done in the demo's yard."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

CITRUS = ("mandarin", "sweet_orange", "lemon", "lime", "kumquat")


@dataclass(frozen=True, slots=True)
class Seen:
    """One thing that was seen or done.

    Attributes:
        plant: the plant's name.
        details: as the form of the kind takes them.
        by: "owner", "keeper", or "" for whoever walked that day.
        limb: name of the limb it is about; "" for the whole plant.
        picture: name of the drawing that illustrates it; "" for none.
    """

    plant: str
    kind: str
    on: date
    details: Mapping[str, Any]
    by: str = ""
    limb: str = ""
    picture: str = ""


def share_words(percent: float) -> str:
    """The answer of the forms that a share of so many percent falls into."""
    for low, high in ((0, 10), (10, 25), (25, 50), (50, 75)):
        if percent <= high:
            return f"{low}-{high}"
    return "75-100"
