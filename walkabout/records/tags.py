"""Tags: the printed codes and the plants they lead to."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import peewee

from walkabout.errors import NotFound
from walkabout.records import models
from walkabout.records.database import database, writing

TRIES = 20  # a clash of random codes is rare; twenty in a row mean that the maker is broken


@dataclass(frozen=True, slots=True)
class Tag:
    """A printed code. `state` is "hanging" or "retired"; a retired one still leads to its plant."""

    code: str
    plant_id: str | None
    state: str
    made_at: str
    retired_at: str | None


def issue_tag(plant_id: str, make_code: Callable[[], str]) -> Tag:
    """Give a plant a new tag.

    Args:
        plant_id: the plant.
        make_code: makes a random code; called again if the code is taken.
    """
    with writing() as ledger:
        for _ in range(TRIES):
            tag = Tag(make_code(), plant_id, "hanging", ledger.now, None)
            try:
                with database.atomic():
                    models.Tag.create(code=tag.code, plant_id=plant_id, state=tag.state, made_at=tag.made_at)
            except peewee.IntegrityError:
                continue
            ledger.changed("tag", tag.code, plant_id)
            return tag
    raise RuntimeError("every code that was made is taken: the maker of codes is broken")


def issue_missing(make_code: Callable[[], str]) -> int:
    """Give every growing plant without a hanging tag one; says how many were given."""
    hanging = models.Tag.select(models.Tag.plant_id).where(
        (models.Tag.state == "hanging") & models.Tag.plant_id.is_null(is_null=False)
    )
    with writing():
        without = (
            models.Plant.select(models.Plant.id)
            .where((models.Plant.state == "growing") & models.Plant.id.not_in(hanging))
            .tuples()
        )
        ids = [plant_id for (plant_id,) in without]
        for plant_id in ids:
            issue_tag(plant_id, make_code)
    return len(ids)


def tag(code: str) -> Tag | None:
    """The tag of that code (canonical: seven capitals, no hyphen), or None."""
    row = _select().where(models.Tag.code == code).tuples().first()
    return Tag(*row) if row else None


def tags() -> list[Tag]:
    """All tags that lead to a plant, hanging and retired."""
    return [Tag(*row) for row in _select().where(models.Tag.plant_id.is_null(is_null=False)).tuples()]


def retire_tag(code: str, now: datetime) -> Tag:
    """Retire a tag; its code still leads to the plant.

    Raises:
        NotFound: there is no such tag.
    """
    with writing() as ledger:
        found = tag(code)
        if found is None:
            raise NotFound("There is no such tag in this yard.")
        if found.state == "hanging":
            retired_at = now.isoformat(timespec="seconds")
            models.Tag.update(state="retired", retired_at=retired_at).where(models.Tag.code == code).execute()
            ledger.changed("tag", code, found.plant_id)
            found = Tag(code, found.plant_id, "retired", found.made_at, retired_at)
    return found


def _select() -> Any:
    table = models.Tag
    return table.select(table.code, table.plant_id, table.state, table.made_at, table.retired_at)
