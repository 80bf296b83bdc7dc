"""Reading the numbers of changes: which pages are newer than what a phone keeps."""

import peewee

from walkabout.records import models


def latest_change() -> int:
    """The number of the newest change of anything."""
    return int(models.Change.select(peewee.fn.MAX(models.Change.number)).scalar() or 0)


def yard_change() -> int:
    """The number of the newest change that every page may show."""
    return int(models.Yard.select(models.Yard.changed).scalar() or 0)


def page_changes() -> dict[str, int]:
    """For each plant the number of the newest change that its page shows, its own or the yard's.

    A plant that was merged into another has no page.
    """
    yard = yard_change()
    plant = models.Plant
    rows = plant.select(plant.id, plant.changed).where(plant.merged_into.is_null()).tuples()
    return {plant_id: max(changed, yard) for plant_id, changed in rows}
