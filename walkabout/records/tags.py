"""Tags: the printed codes and the plants and limbs they lead to."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

import peewee

from walkabout.errors import BadInput, NotFound
from walkabout.records import models
from walkabout.records.database import database, writing
from walkabout.records.merges import survivor, survivors

TRIES = 20  # a clash of random codes is rare; twenty in a row mean that the maker is broken


@dataclass(frozen=True, slots=True)
class Tag:
    """A printed code.

    Attributes:
        plant_id: the plant that it leads to; of a plant that was merged into another, that other.
        state: "hanging" or "retired"; a retired one still leads to its plant.
        limb_id: the limb that it hangs on; None for the tag of a whole plant.
    """

    code: str
    plant_id: str | None
    state: str
    made_at: str
    retired_at: str | None
    limb_id: str | None = None


def issue_tag(plant_id: str, make_code: Callable[[], str], *, limb_id: str | None = None) -> Tag:
    """Give a plant, or one of its limbs, a new tag.

    Args:
        plant_id: the plant.
        make_code: makes a random code; called again if the code is taken.
        limb_id: the limb, for the tag of a limb.
    """
    with writing() as ledger:
        for _ in range(TRIES):
            tag = Tag(make_code(), plant_id, "hanging", ledger.now, None, limb_id)
            try:
                with database.atomic():
                    models.Tag.create(
                        code=tag.code,
                        plant_id=plant_id,
                        limb_id=limb_id,
                        state=tag.state,
                        made_at=tag.made_at,
                    )
            except peewee.IntegrityError:
                continue
            ledger.changed("tag", tag.code, plant_id)
            return tag
    raise RuntimeError("every code that was made is taken: the maker of codes is broken")


def issue_missing(make_code: Callable[[], str], plant_ids: Sequence[str] | None = None) -> int:
    """Give every growing plant without a hanging tag one; says how many were given.

    Args:
        make_code: makes a random code.
        plant_ids: only these plants; all of the yard if not given.
    """
    plant = models.Plant
    wanted = (
        plant.select(plant.id)
        .where((plant.state == "growing") & plant.merged_into.is_null() & plant.id.not_in(_tagged()))
        .tuples()
    )
    with writing():
        ids = [plant_id for (plant_id,) in wanted]
        if plant_ids is not None:
            chosen = set(plant_ids)
            ids = [plant_id for plant_id in ids if plant_id in chosen]
        for plant_id in ids:
            issue_tag(plant_id, make_code)
    return len(ids)


def tag(code: str) -> Tag | None:
    """The tag of that code (canonical: seven capitals, no hyphen), or None."""
    row = _select().where(models.Tag.code == code).tuples().first()
    if row is None:
        return None
    found = Tag(*row)
    return replace(found, plant_id=survivor(found.plant_id)) if found.plant_id else found


def tags() -> list[Tag]:
    """All tags that lead to a plant, hanging and retired."""
    last = survivors()
    rows = _select().where(models.Tag.plant_id.is_null(is_null=False)).tuples()
    found = (Tag(*row) for row in rows)
    return [replace(tag, plant_id=last[tag.plant_id]) if tag.plant_id in last else tag for tag in found]


def tags_of(plant_id: str, merged: Sequence[str] = ()) -> list[Tag]:
    """The tags of a plant and its limbs, hanging ones first, the newest in front.

    Args:
        plant_id: the plant.
        merged: plants that turned out to be this one.
    """
    query = _select().where(models.Tag.plant_id.in_([plant_id, *merged]))
    query = query.order_by(models.Tag.state, models.Tag.made_at.desc(), models.Tag.code)
    return [replace(Tag(*row), plant_id=plant_id) for row in query.tuples()]


def retire_tag(code: str, now: datetime) -> Tag:
    """Retire a tag; its code still leads to the plant.

    Raises:
        NotFound: there is no such tag.
    """
    with writing() as ledger:
        found = _known(code)
        if found.state == "hanging":
            retired_at = now.isoformat(timespec="seconds")
            models.Tag.update(state="retired", retired_at=retired_at).where(models.Tag.code == code).execute()
            ledger.changed("tag", code, found.plant_id)
            found = replace(found, state="retired", retired_at=retired_at)
    return found


def give_tag(code: str, plant_id: str) -> Tag:
    """Hang a tag on another plant, which has none. The plant that it hung on keeps its entries.

    Raises:
        NotFound: there is no such tag, or no such plant.
        BadInput: the plant bears a tag already, or is not growing.
    """
    with writing() as ledger:
        found = _known(code)
        row = (
            models.Plant.select(models.Plant.name, models.Plant.state)
            .where((models.Plant.id == plant_id) & models.Plant.merged_into.is_null())
            .tuples()
            .first()
        )
        if row is None:
            raise NotFound("There is no such plant in this yard. Nothing was changed.")
        name, state = row
        if state != "growing":
            raise BadInput(f"{name} is not growing, so no tag hangs on it. Choose another plant.", "other")
        if _tagged().where(models.Tag.plant_id == plant_id).exists():
            raise BadInput(
                f"{name} bears a tag already. Take that one down first, or choose another plant.", "other"
            )
        models.Tag.update(plant_id=plant_id, limb_id=None, state="hanging", retired_at=None).where(
            models.Tag.code == code
        ).execute()
        ledger.changed("tag", code, found.plant_id)
        ledger.changed("tag", code, plant_id)
    return Tag(code, plant_id, "hanging", found.made_at, None)


def hanging_code(limb_id: peewee.Field) -> Any:
    """The code of the tag that hangs on a limb, as part of a query about limbs."""
    table = models.Tag
    return (
        table.select(table.code)
        .where((table.limb_id == limb_id) & (table.state == "hanging"))
        .order_by(table.made_at.desc(), table.code)
        .limit(1)
    )


def _known(code: str) -> Tag:
    found = tag(code)
    if found is None:
        raise NotFound("There is no such tag in this yard.")
    return found


def _tagged() -> Any:
    """The plants on which a tag of their own hangs."""
    table = models.Tag
    return table.select(table.plant_id).where(
        (table.state == "hanging") & table.plant_id.is_null(is_null=False) & table.limb_id.is_null()
    )


def _select() -> Any:
    table = models.Tag
    return table.select(
        table.code, table.plant_id, table.state, table.made_at, table.retired_at, table.limb_id
    )
