"""The plant of an address, for pages that change something about it."""

from flask import abort

from walkabout.records import plants
from walkabout.records.merges import survivor
from walkabout.records.plants import Plant


def known_plant(plant_id: str) -> Plant:
    """The plant of that id; of one that was merged into another, that other. 404 when there is none."""
    found = plants.plant(plant_id)
    if found is not None and found.merged_into is not None:
        found = plants.plant(survivor(plant_id))
    return found or abort(404)
