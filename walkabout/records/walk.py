"""Where every plant stands: what a walk through the yard and a choice of several plants are made from."""

from dataclasses import dataclass

import peewee

from walkabout.records import models


@dataclass(frozen=True, slots=True)
class Stand:
    """A plant as somebody meets it who walks by.

    Attributes:
        crop: key of the crop, or the grower's own word.
        raised: how it was raised; "" when not known.
        state: one of records.plants.STATES.
        spot_id, spot: id and name of the spot it stands in; "" when none is recorded.
    """

    plant_id: str
    name: str
    crop: str
    raised: str
    container: bool
    state: str
    spot_id: str
    spot: str


def stands() -> list[Stand]:
    """Every plant of the yard but those that turned out to be another one; in no order."""
    plant, spot = models.Plant, models.Spot
    query = (
        plant.select(
            plant.id,
            plant.name,
            plant.crop,
            plant.raised,
            plant.container,
            plant.state,
            peewee.fn.COALESCE(spot.id, ""),
            peewee.fn.COALESCE(spot.name, ""),
        )
        .join(spot, peewee.JOIN.LEFT_OUTER, on=(spot.id == plant.spot_id))
        .where(plant.merged_into.is_null())
    )
    return [Stand(*row) for row in query.tuples()]
