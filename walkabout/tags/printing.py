"""The tags that hang in the yard, printed in the order in which one walks past the plants."""

import re
from collections import defaultdict
from dataclasses import dataclass
from typing import BinaryIO

from walkabout.records.limbs import Limb, tagged_limbs
from walkabout.records.merges import survivors
from walkabout.records.plants import Plant, folded, plants
from walkabout.reference.crops import crop_name
from walkabout.tags.labels import Label, draw, gaps
from walkabout.tags.sheets import sheet
from walkabout.tags.symbols import address_for

_NUMBER = re.compile(r"(\d+)")


@dataclass(frozen=True, slots=True)
class Printed:
    """What was printed: labels, pages, and the names with characters that the type cannot draw."""

    labels: int
    pages: int
    gaps: tuple[str, ...]


def labels_of_yard(origin: str) -> list[Label]:
    """A label for every growing plant and limb that bears a tag, by spot, then by name; without a spot they come last.

    The tag of a limb comes behind that of its plant and names both.

    Args:
        origin: scheme, host and port that the tags lead to.

    Raises:
        BadInput: tags cannot hold this origin.
    """
    of_limbs: dict[str, list[Limb]] = defaultdict(list)
    last = survivors()
    for limb in tagged_limbs():
        of_limbs[last.get(limb.plant_id, limb.plant_id)].append(limb)
    found = []
    for plant in sorted(plants(states=["growing"]), key=_walking_order):
        if plant.code is not None:
            kind = plant.cultivar or crop_name(plant.crop)
            found.append(Label(plant.code, address_for(origin, plant.code), plant.name, kind))
        for limb in sorted(of_limbs[plant.id], key=lambda limb: _by_number(limb.name)):
            if limb.code is not None:
                kind = limb.cultivar or crop_name(limb.crop or plant.crop)
                name = f"{plant.name}, {limb.name}"
                found.append(Label(limb.code, address_for(origin, limb.code), name, kind))
    return found


def print_all(origin: str, sheet_name: str, out: BinaryIO, *, start_at: int = 1) -> Printed:
    """Draw the labels of the yard as a PDF.

    Args:
        origin: scheme, host and port that the tags lead to.
        sheet_name: one of sheets.sheet_names().
        out: where the PDF is written.
        start_at: first label of the first page to use, from 1.

    Raises:
        BadInput: no tags, an unknown sheet, a start it has not, or an origin that tags cannot hold.
    """
    labels = labels_of_yard(origin)
    pages = draw(labels, sheet(sheet_name), out, start_at=start_at)
    return Printed(len(labels), pages, tuple(gaps(labels)))


def _walking_order(plant: Plant) -> tuple[bool, list[tuple[int, str]], list[tuple[int, str]]]:
    spot = plant.spot.name if plant.spot else ""
    return not spot, _by_number(spot), _by_number(plant.name)


def _by_number(name: str) -> list[tuple[int, str]]:
    """A key that puts tree 2 before tree 10."""
    return [
        (int(part), "") if part.isdecimal() and part.isascii() else (-1, part)
        for part in _NUMBER.split(folded(name))
    ]
