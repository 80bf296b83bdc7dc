"""Limbs: parts of a plant with a cultivar of their own, by grafting."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

from walkabout.errors import NotFound
from walkabout.records import models
from walkabout.records.database import writing
from walkabout.records.tags import hanging_code

LIMB_STATES = ("growing", "dead", "gone")


@dataclass(frozen=True, slots=True)
class LimbFacts:
    """What a person says a limb is.

    Attributes:
        name: how the limb is told from the others: "the low one to the east".
        crop: a key of the books or the grower's own word; "" when it is the plant's.
        grafted: ISO date, year and month, or year; None when not known.
        state: one of LIMB_STATES.
    """

    name: str
    crop: str = ""
    cultivar: str = ""
    grafted: str | None = None
    state: str = "growing"


@dataclass(frozen=True, slots=True)
class Limb:
    """A limb as recorded. `code` is that of its own hanging tag; None when it has none."""

    id: str
    plant_id: str
    name: str
    crop: str
    cultivar: str
    grafted: str | None
    state: str
    made_at: str
    code: str | None


def add_limb(plant_id: str, facts: LimbFacts) -> Limb:
    """Record a new limb of a plant."""
    with writing() as ledger:
        limb_id = str(uuid4())
        models.Limb.create(id=limb_id, plant_id=plant_id, made_at=ledger.now, **_columns(facts))
        ledger.changed("limb", limb_id, plant_id)
    return _known(limb_id)


def change_limb(limb_id: str, facts: LimbFacts) -> Limb:
    """Change what is recorded of a limb; one that is dead or gone stays in the history.

    Raises:
        NotFound: there is no such limb.
    """
    with writing() as ledger:
        found = _known(limb_id)
        models.Limb.update(**_columns(facts)).where(models.Limb.id == limb_id).execute()
        ledger.changed("limb", limb_id, found.plant_id)
    return _known(limb_id)


def limb(limb_id: str) -> Limb | None:
    """The limb of that id, or None."""
    row = _select().where(models.Limb.id == limb_id).tuples().first()
    return Limb(*row) if row else None


def limbs_of(plant_id: str, merged: Sequence[str] = ()) -> list[Limb]:
    """The limbs of a plant, growing ones first, then by name.

    Args:
        plant_id: the plant.
        merged: plants that turned out to be this one.
    """
    query = _select().where(models.Limb.plant_id.in_([plant_id, *merged]))
    query = query.order_by(models.Limb.state != "growing", models.Limb.name, models.Limb.id)
    return [Limb(*row) for row in query.tuples()]


def tagged_limbs() -> list[Limb]:
    """The growing limbs that bear a tag of their own."""
    found = (Limb(*row) for row in _select().where(models.Limb.state == "growing").tuples())
    return [limb for limb in found if limb.code is not None]


def _columns(facts: LimbFacts) -> dict[str, Any]:
    return {
        "name": facts.name,
        "crop": facts.crop,
        "cultivar": facts.cultivar,
        "grafted": facts.grafted,
        "state": facts.state,
    }


def _known(limb_id: str) -> Limb:
    found = limb(limb_id)
    if found is None:
        raise NotFound("There is no such limb in this yard. It may have been typed wrong.")
    return found


def _select() -> Any:
    table = models.Limb
    return table.select(
        table.id,
        table.plant_id,
        table.name,
        table.crop,
        table.cultivar,
        table.grafted,
        table.state,
        table.made_at,
        hanging_code(table.id),
    )
