"""Changing spots: another name or position, two that are one place, one that is empty."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from walkabout.errors import BadInput, NotFound
from walkabout.records import models
from walkabout.records.database import database, writing
from walkabout.records.ledger import Ledger
from walkabout.records.plants import search_text
from walkabout.records.spots import Spot


@dataclass(frozen=True, slots=True)
class SpotUse:
    """A spot and how many plants are recorded there: growing, and all with the dead, gone, wanted and ordered."""

    spot: Spot
    growing: int
    plants: int


_USE = """SELECT spot.id, spot.name, x_m, y_m, count (CASE WHEN state = 'growing' THEN 1 END), count (plant.id)
    FROM spot LEFT JOIN plant ON plant.spot_id = spot.id AND plant.merged_into IS NULL
    WHERE ?1 IS NULL OR spot.id = ?1
    GROUP BY spot.id ORDER BY spot.name"""


def spots_in_use() -> list[SpotUse]:
    """All spots by name, with how much stands there."""
    return [_use(row) for row in _connection().execute(_USE, (None,))]


def spot_in_use(spot_id: str) -> SpotUse | None:
    """The spot of that id with how much stands there, or None."""
    row = _connection().execute(_USE, (spot_id,)).fetchone()
    return _use(row) if row else None


def change_spot(spot_id: str, name: str, x_m: float | None, y_m: float | None) -> None:
    """Give a spot another name and position (metres; None when not known).

    Raises:
        NotFound: there is no such spot.
        BadInput: another spot bears the name.
    """
    with writing() as ledger:
        _known(spot_id)
        taken = models.Spot.select().where((models.Spot.name == name) & (models.Spot.id != spot_id)).exists()
        if taken:
            raise BadInput(
                f"Another spot is called {name}. Nothing was changed. Choose another name, "
                "or merge the two if they are one place.",
                "name",
            )
        models.Spot.update(name=name, x_m=x_m, y_m=y_m).where(models.Spot.id == spot_id).execute()
        _mark_plants(spot_id, name, ledger)
        ledger.changed("spot", spot_id, "")


def merge_spots(spot_id: str, into: str) -> None:
    """Record that two spots are one place: all that stands at the first stands at the second from now on.

    The second keeps its name, and its position if it has one.

    Raises:
        NotFound: there is no such spot.
        BadInput: they are the same one.
    """
    with writing() as ledger:
        first, second = _known(spot_id), _known(into)
        if first.id == second.id:
            raise BadInput("This is the same spot. Choose another.", "other")
        if (second.x_m, second.y_m) == (None, None):
            models.Spot.update(x_m=first.x_m, y_m=first.y_m).where(models.Spot.id == into).execute()
        models.Plant.update(spot_id=into).where(models.Plant.spot_id == spot_id).execute()
        models.Spot.delete().where(models.Spot.id == spot_id).execute()
        _mark_plants(into, second.name, ledger)
        ledger.changed("spot", spot_id, "")
        ledger.changed("spot", into, "")


def remove_spot(spot_id: str) -> None:
    """Remove a spot at which nothing is recorded.

    Raises:
        NotFound: there is no such spot.
        BadInput: plants are recorded there, be it dead ones.
    """
    with writing() as ledger:
        spot = _known(spot_id)
        if models.Plant.select().where(models.Plant.spot_id == spot_id).exists():
            raise BadInput(
                f"Plants are recorded at {spot.name}, growing or of earlier years, so it stays. "
                "Move them, or merge this spot with another.",
            )
        models.Spot.delete().where(models.Spot.id == spot_id).execute()
        ledger.changed("spot", spot_id, "")


def _connection() -> Any:
    return database.connection()


def _use(row: Iterable[Any]) -> SpotUse:
    spot_id, name, x_m, y_m, growing, plants = row
    return SpotUse(Spot(spot_id, name, x_m, y_m), growing, plants)


def _known(spot_id: str) -> Spot:
    found = spot_in_use(spot_id)
    if found is None:
        raise NotFound("There is no such spot in this yard. It may have been removed meanwhile.")
    return found.spot


def _mark_plants(spot_id: str, name: str, ledger: Ledger) -> None:
    """The pages of all that stands there are stale, and a search finds it by the new name."""
    table = models.Plant
    rows = table.select(table.id, table.name, table.crop, table.cultivar, table.rootstock)
    for plant_id, plant_name, crop, cultivar, rootstock in list(
        rows.where(table.spot_id == spot_id).tuples()
    ):
        words = search_text(plant_name, crop, cultivar, rootstock, name)
        table.update(search=words).where(table.id == plant_id).execute()
        ledger.changed("spot", spot_id, plant_id)
