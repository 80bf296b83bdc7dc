"""What was seen and done in the demo's yard: one plant after another, one season after another."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

from walkabout.demo.bearing import bearing
from walkabout.demo.days import Days
from walkabout.demo.growing import growing
from walkabout.demo.seen import Seen
from walkabout.demo.tables import DemoPlant, demo_plants, events_table
from walkabout.demo.troubles import troubles
from walkabout.demo.weather import weather
from walkabout.demo.work import work

_OF_A_YEAR = (bearing, growing, troubles, work)

_NO_CARE_FOR = timedelta(days=14)  # before its end a plant is told of in notes only


def story(days: Days) -> list[Seen]:
    """Everything, in the order of time."""
    told = [seen for plant in demo_plants() if plant.lived for seen in _of_plant(plant, days)]
    told += weather(days)
    told += _notes(days)
    told += _grafts(days)
    began = {plant.name: days.planted(plant) or days.first for plant in demo_plants()}
    ended = {plant.name: days.ended(plant) or days.today for plant in demo_plants()}
    kept = [
        seen
        for seen in told
        if days.first <= seen.on <= days.last and began[seen.plant] <= seen.on <= ended[seen.plant]
    ]
    kept.sort(key=lambda seen: (seen.on, seen.plant, seen.kind, str(seen.details)))
    return _illustrated(kept)


def _of_plant(plant: DemoPlant, days: Days) -> Iterator[Seen]:
    ended = days.ended(plant)
    last = ended - _NO_CARE_FOR if ended else days.last
    for year in days.years():
        for part in _OF_A_YEAR:
            yield from (seen for seen in part(plant, days, year) if seen.on <= last)


def _notes(days: Days) -> Iterator[Seen]:
    for note in events_table()["note"]:
        day = days.ago(note["ago"], note["on"])
        yield Seen(
            note["plant"],
            "note",
            day,
            {"words": note["text"]},
            note.get("by", "owner"),
            picture=note.get("picture", ""),
        )


def _grafts(days: Days) -> Iterator[Seen]:
    for plant in demo_plants():
        for limb in plant.limbs:
            day = days.walked(days.ago(limb.grafted_ago, limb.grafted_on))
            details = {"work": ["grafted"], "grafted_cultivar": limb.cultivar}
            yield Seen(plant.name, "done", day, details, "owner", limb=limb.name)


def _illustrated(told: list[Seen]) -> list[Seen]:
    """The same, each drawing of the table on the latest entry that fits."""
    for row in events_table()["picture"]:
        wanted = {key: value for key, value in row.items() if key in ("problem", "stage")}
        for place in reversed(range(len(told))):
            seen = told[place]
            fits = seen.plant == row["plant"] and seen.kind == row["kind"] and not seen.picture
            right = wanted.items() <= seen.details.items() and seen.details.get("seen") != "none"
            if fits and right and row.get("work") in (None, *seen.details.get("work", ())):
                told[place] = replace(seen, picture=row["drawing"])
                break
    return told
