"""What other plants have to do with a plant: merged into it, raised from it, standing at the same spot."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from walkabout.records.database import database
from walkabout.records.ledger import Ledger

MOST_BESIDE = 8  # a spot of more plants is a bed, and its list tells more than their names here
MOST_OFFSPRING = 20


@dataclass(frozen=True, slots=True)
class Relative:
    """Another plant, as a page names it."""

    id: str
    name: str
    state: str


@dataclass(frozen=True, slots=True)
class Kin:
    """The other plants of a plant's page.

    Attributes:
        merged: plants that turned out to be this one, however far.
        raised_from: the plant that this one was raised from.
        offspring: plants raised from this one, at most MOST_OFFSPRING.
        beside: plants at the same spot; empty when there are more than MOST_BESIDE.
        many_beside: whether there are more.
    """

    merged: tuple[Relative, ...] = ()
    raised_from: Relative | None = None
    offspring: tuple[Relative, ...] = ()
    beside: tuple[Relative, ...] = ()
    many_beside: bool = False

    @property
    def merged_ids(self) -> tuple[str, ...]:
        """Ids of the plants whose entries, tasks and limbs are told with this one's."""
        return tuple(one.id for one in self.merged)


_KIN = f"""WITH RECURSIVE merged (id) AS (
        SELECT id FROM plant WHERE merged_into = ?1
        UNION SELECT plant.id FROM merged JOIN plant ON plant.merged_into = merged.id
    )
    SELECT 'merged', plant.id, name, state FROM merged JOIN plant USING (id)
    UNION ALL SELECT 'raised_from', parent.id, parent.name, parent.state
        FROM plant JOIN plant AS parent ON parent.id = plant.raised_from WHERE plant.id = ?1
    UNION ALL SELECT * FROM (SELECT 'offspring', id, name, state FROM plant
        WHERE raised_from IN (SELECT ?1 UNION SELECT id FROM merged) AND merged_into IS NULL
        ORDER BY name COLLATE NOCASE, id LIMIT {MOST_OFFSPRING})
    UNION ALL SELECT * FROM (SELECT 'beside', other.id, other.name, other.state
        FROM plant JOIN plant AS other ON other.spot_id = plant.spot_id
        WHERE plant.id = ?1 AND other.id <> ?1 AND other.merged_into IS NULL
        ORDER BY other.name COLLATE NOCASE, other.id LIMIT {MOST_BESIDE + 1})"""  # noqa: S608 -- numbers of ours

_NAMED_ON = """WITH asked (id) AS (SELECT value FROM json_each (?1)),
    near (spot_id) AS (
        SELECT spot_id FROM plant
        WHERE spot_id IN (SELECT DISTINCT plant.spot_id FROM asked JOIN plant USING (id))
        GROUP BY spot_id HAVING count(*) <= ?2
    )
    SELECT plant.raised_from FROM asked JOIN plant USING (id) WHERE plant.raised_from IS NOT NULL
    UNION SELECT plant.id FROM asked JOIN plant ON plant.raised_from = asked.id
    UNION SELECT plant.merged_into FROM asked JOIN plant USING (id) WHERE plant.merged_into IS NOT NULL
    UNION SELECT plant.id FROM near JOIN plant ON plant.spot_id = near.spot_id"""


def kin(plant_id: str) -> Kin:
    """The other plants that the page of a plant names; one query."""
    connection: Any = database.connection()
    found: dict[str, list[Relative]] = {"merged": [], "raised_from": [], "offspring": [], "beside": []}
    for relation, *row in connection.execute(_KIN, (plant_id,)):
        found[relation].append(Relative(*row))
    own = {one.id for one in found["merged"]}
    many = len(found["beside"]) > MOST_BESIDE
    return Kin(
        merged=tuple(found["merged"]),
        raised_from=next((one for one in found["raised_from"] if one.id not in own), None),
        offspring=tuple(found["offspring"]),
        beside=() if many else tuple(found["beside"]),
        many_beside=many,
    )


def mark_kin(plant_ids: Iterable[str], ledger: Ledger) -> None:
    """Note that the pages which name these plants are stale.

    Call it after a change, and before one that takes a plant from a spot, a parent or a plant it was merged into.
    """
    connection: Any = database.connection()
    # Two more than are named: the page also tells when there are too many to name.
    rows = connection.execute(_NAMED_ON, (json.dumps(list(plant_ids)), MOST_BESIDE + 2))
    for (plant_id,) in rows.fetchall():
        ledger.changed("plant", plant_id, plant_id)
