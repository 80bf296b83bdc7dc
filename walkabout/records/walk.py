"""Where every plant stands: what a walk through the yard and a choice of several plants are made from."""

from dataclasses import dataclass
from typing import Any

from walkabout.records.database import database


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
    connection: Any = database.connection()
    return [Stand(*row) for row in connection.execute(_STANDS)]


# As text: building Peewee's rows takes longer than all the rest of a walk.
_STANDS = """SELECT plant.id, plant.name, crop, raised, container, state, coalesce (spot.id, ''), coalesce (spot.name, '')
    FROM plant LEFT JOIN spot ON spot.id = plant.spot_id WHERE merged_into IS NULL"""
