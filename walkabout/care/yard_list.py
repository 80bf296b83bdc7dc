"""The plants of the yard in lists: those that grow, those that do not yet, those that do no more; in walking order."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from walkabout.care.walk import in_walking_order
from walkabout.records import plants, walk

NOT_YET = ("wanted", "ordered")
ENDED = ("dead", "gone")


class YardList(NamedTuple):
    """Plants of some states: their ids, in walking order."""

    states: tuple[str, ...]
    ids: list[str]


def yard_lists(filters: Mapping[str, Any], state: str = "") -> list[YardList]:
    """The lists of the yard, the one to stand in sight first.

    Args:
        filters: as records.plants.matching_ids takes them, but for the states.
        state: one state, for one list of it alone; "" for the three lists.
    """
    parts = ((state,),) if state else (("growing",), NOT_YET, ENDED)
    place = {stand.plant_id: number for number, stand in enumerate(in_walking_order(walk.stands()))}
    found = []
    for states in parts:
        ids = plants.matching_ids(**filters, states=states)
        # One that was added a moment ago comes last.
        found.append(
            YardList(states, sorted(ids, key=lambda plant_id: (place.get(plant_id, len(place)), plant_id)))
        )
    return found
