"""The page of a plant: the same at its own address and at those of its tags."""

from flask import abort, render_template
from flask.typing import ResponseReturnValue

from walkabout.records import plants
from walkabout.reference.crops import crop_name
from walkabout.tags.codes import shown


def plant_page(plant_id: str) -> ResponseReturnValue:
    """The whole answer for one plant."""
    plant = plants.plant(plant_id)
    if plant is None:
        abort(404)
    return render_template("plants/plant.html", plant=plant, crop_name=crop_name, shown_code=shown)
