"""Places in the yard where something stands or could stand."""

from dataclasses import dataclass
from uuid import uuid4

from walkabout.records import models
from walkabout.records.database import writing


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in the yard; x and y in metres from the yard's own corner, None when not known."""

    id: str
    name: str
    x_m: float | None
    y_m: float | None


def spots() -> list[Spot]:
    """All spots, by name."""
    spot = models.Spot
    return [
        Spot(*row) for row in spot.select(spot.id, spot.name, spot.x_m, spot.y_m).order_by(spot.name).tuples()
    ]


def spot_by_name(name: str) -> Spot | None:
    """The spot of that name; capitals do not matter."""
    spot = models.Spot
    row = spot.select(spot.id, spot.name, spot.x_m, spot.y_m).where(spot.name == name).tuples().first()
    return Spot(*row) if row else None


def save_spot(name: str, x_m: float | None = None, y_m: float | None = None) -> Spot:
    """The spot of that name, made if it is new; a position that is given replaces the one recorded."""
    with writing() as ledger:
        known = spot_by_name(name)
        if known is None:
            spot = Spot(str(uuid4()), name, x_m, y_m)
            yard = models.Yard.get()
            models.Spot.create(id=spot.id, yard_id=yard.id, name=name, x_m=x_m, y_m=y_m)
            ledger.changed("spot", spot.id, "")
            return spot
        spot = Spot(
            known.id,
            known.name,
            known.x_m if x_m is None else x_m,
            known.y_m if y_m is None else y_m,
        )
        if spot != known:
            models.Spot.update(x_m=spot.x_m, y_m=spot.y_m).where(models.Spot.id == spot.id).execute()
            standing_there = (
                models.Plant.select(models.Plant.id).where(models.Plant.spot_id == spot.id).tuples()
            )
            for (plant_id,) in standing_there:
                ledger.changed("spot", spot.id, plant_id)
            ledger.changed("spot", spot.id, "")
        return spot
