"""Pieces of work that a person set for a plant. One is done when an entry of kind "done" names it and stands."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import uuid4

import peewee

from walkabout.errors import BadInput
from walkabout.records import models
from walkabout.records.database import writing

DONE = "done"


@dataclass(frozen=True, slots=True)
class Task:
    """A piece of work. `closes` is None when it has no last day; `done_on` None while it is open."""

    id: str
    plant_id: str
    title: str
    opens: date
    closes: date | None
    made_by: str
    made_at: str
    done_on: date | None


def add_task(plant_id: str, title: str, opens: date, closes: date | None, made_by: str) -> Task:
    """Set a piece of work for a plant.

    Raises:
        BadInput: it closes before it opens.
    """
    if closes is not None and closes < opens:
        raise BadInput("The last day lies before the first. Change one of them.", "closes")
    with writing() as ledger:
        task = Task(str(uuid4()), plant_id, title, opens, closes, made_by, ledger.now, None)
        models.Task.create(
            id=task.id,
            plant_id=plant_id,
            title=title,
            opens=opens.isoformat(),
            closes=closes.isoformat() if closes else None,
            made_by=made_by,
            made_at=ledger.now,
        )
        ledger.changed("task", task.id, plant_id)
    return task


def task(task_id: str) -> Task | None:
    """The task of that id, open or done."""
    standing = models.Standing
    done_on = standing.select(peewee.fn.MIN(standing.seen_on)).where(
        (standing.plant_id == models.Task.plant_id)
        & (standing.kind == DONE)
        & (standing.subject == models.Task.id)
    )
    row = _select(done_on).where(models.Task.id == task_id).tuples().first()
    return _task(row) if row else None


def open_tasks(plant_id: str, merged: Sequence[str] = ()) -> list[Task]:
    """The tasks of a plant that are not done, the one that closes first in front.

    Args:
        plant_id: the plant.
        merged: plants that turned out to be this one.
    """
    standing, plant_ids = models.Standing, [plant_id, *merged]
    done = standing.select(standing.subject).where(standing.plant_id.in_(plant_ids) & (standing.kind == DONE))
    query = (
        _select(peewee.Value(None))
        .where(models.Task.plant_id.in_(plant_ids) & models.Task.id.not_in(done))
        .order_by(models.Task.closes.is_null(), models.Task.closes, models.Task.opens, models.Task.id)
    )
    return [_task(row) for row in query.tuples()]


def task_titles(task_ids: Iterable[str]) -> dict[str, str]:
    """Titles of the tasks of those ids that are there, open or done."""
    wanted = list(task_ids)
    if not wanted:
        return {}
    return dict(
        models.Task.select(models.Task.id, models.Task.title).where(models.Task.id.in_(wanted)).tuples()
    )


def _select(done_on: Any) -> Any:
    table = models.Task
    return table.select(
        table.id,
        table.plant_id,
        table.title,
        table.opens,
        table.closes,
        table.made_by,
        table.made_at,
        done_on,
    )


def _task(row: tuple[Any, ...]) -> Task:
    task_id, plant_id, title, opens, closes, made_by, made_at, done_on = row
    return Task(
        task_id,
        plant_id,
        title,
        opens=date.fromisoformat(opens),
        closes=date.fromisoformat(closes) if closes else None,
        made_by=made_by,
        made_at=made_at,
        done_on=date.fromisoformat(done_on) if done_on else None,
    )
