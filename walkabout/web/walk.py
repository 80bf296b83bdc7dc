"""On to the next plant of the walk, and back to the one before.

The links on a plant's page name only that page's own plant. So no page becomes stale because another plant was added,
renamed or moved; where they lead is found when they are pressed, without the network by the worker
(static/js/worker_walk.js) from the list of pages that the phone keeps.
"""

from flask import Blueprint, abort, redirect, url_for
from flask.typing import ResponseReturnValue

from walkabout.care.walk import Beside, beside, in_walking_order
from walkabout.records import walk

blueprint = Blueprint("walk", __name__)


@blueprint.get("/plants/<plant_id>/next")
def after(plant_id: str) -> ResponseReturnValue:
    """To the next plant; from the last one to the list of plants."""
    return _to(_beside(plant_id).after)


@blueprint.get("/plants/<plant_id>/before")
def before(plant_id: str) -> ResponseReturnValue:
    """To the plant before; from the first one to the list of plants."""
    return _to(_beside(plant_id).before)


def _beside(plant_id: str) -> Beside:
    try:
        return beside(in_walking_order(walk.stands()), plant_id)
    except ValueError:
        abort(404)


def _to(plant_id: str | None) -> ResponseReturnValue:
    return redirect(url_for("plants.plant", plant_id=plant_id) if plant_id else url_for("plants.yard"))
