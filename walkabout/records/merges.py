"""Plants that were recorded twice: one is merged into the other, and nothing of it is lost.

A merged plant keeps its row, its entries and its tags; it only names the one that it turned out to be. What is asked
of the survivor takes in all that was merged into it, and undoing a merge is forgetting that name.
"""

from typing import Any

from walkabout.errors import BadInput, NotFound
from walkabout.records import models
from walkabout.records.database import database, writing
from walkabout.records.kin import mark_kin

_UP = """WITH RECURSIVE up (id, step) AS (
        SELECT ?1, 0
        UNION SELECT plant.merged_into, up.step + 1 FROM up JOIN plant ON plant.id = up.id
            WHERE plant.merged_into IS NOT NULL
    )
    SELECT id FROM up ORDER BY step DESC LIMIT 1"""


def survivor(plant_id: str) -> str:
    """The plant that this one turned out to be at last; itself if it was not merged."""
    connection: Any = database.connection()
    return str(connection.execute(_UP, (plant_id,)).fetchone()[0])


def survivors() -> dict[str, str]:
    """For every merged plant the one that it turned out to be at last."""
    connection: Any = database.connection()
    rows = connection.execute("SELECT id, merged_into FROM plant WHERE merged_into IS NOT NULL")
    into = dict(rows.fetchall())
    found = {}
    for plant_id in into:
        last = plant_id
        while last in into:
            last = into[last]
        found[plant_id] = last
    return found


def merge_plants(plant_id: str, into: str) -> str:
    """Record that a plant is the same as another; gives the id of the one that survives.

    Merging into a plant that was merged itself leads to its survivor.

    Raises:
        NotFound: one of them is not in this yard.
        BadInput: they are one plant already.
    """
    with writing() as ledger:
        if models.Plant.select().where(models.Plant.id.in_([plant_id, into])).count() != len(
            {plant_id, into}
        ):
            raise NotFound("There is no such plant in this yard. Nothing was changed.")
        last = survivor(into)
        if last == plant_id or survivor(plant_id) != plant_id:
            raise BadInput("These are one plant already. Nothing was changed. Choose another plant.", "other")
        mark_kin([plant_id, last], ledger)
        models.Plant.update(merged_into=last).where(models.Plant.id == plant_id).execute()
        mark_kin([plant_id], ledger)
        ledger.changed("plant", plant_id, plant_id)
        ledger.changed("plant", last, last)
    return last


def undo_merge(plant_id: str) -> None:
    """Let a merged plant be one of its own again, with all that is its own.

    Raises:
        NotFound: it is not merged into another.
    """
    with writing() as ledger:
        row = (
            models.Plant.select(models.Plant.merged_into).where(models.Plant.id == plant_id).tuples().first()
        )
        if row is None or row[0] is None:
            raise NotFound("This plant is not merged into another. Nothing was changed.")
        last = survivor(plant_id)
        mark_kin([plant_id, last], ledger)
        models.Plant.update(merged_into=None).where(models.Plant.id == plant_id).execute()
        mark_kin([plant_id], ledger)
        ledger.changed("plant", plant_id, plant_id)
        ledger.changed("plant", last, last)
