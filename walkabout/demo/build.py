"""The demo's yard written into an open, empty database."""

import secrets
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta

from walkabout.demo.days import Days
from walkabout.demo.pen import Cast, Pen
from walkabout.demo.pictures import draw
from walkabout.demo.seen import Seen
from walkabout.demo.story import story
from walkabout.demo.tables import DemoPlant, demo_plants, events_table, yard_table
from walkabout.entries.pictures import remade
from walkabout.horticulture.units import litres, metres
from walkabout.records import people, yards
from walkabout.records.database import writing
from walkabout.records.entries import keep_entries
from walkabout.records.limbs import LimbFacts, add_limb
from walkabout.records.merges import merge_plants
from walkabout.records.people import Person
from walkabout.records.photos import keep, name_of
from walkabout.records.plants import Plant, PlantFacts, add_plants
from walkabout.records.tags import issue_tag, retire_tag
from walkabout.records.tasks import add_task

_LATELY = timedelta(days=60)  # work noted since then is not set again


def build(
    today: date,
    *,
    origin: str,
    make_code: Callable[[], str],
    seed: int = 1,
    password: str | None = None,
) -> Person:
    """Write the whole yard: plants, people, tags, four years of entries, work that is due.

    Args:
        today: the civil date in the yard; everything is counted back from it.
        origin: address that the tags print.
        make_code: makes a tag code.
        seed: of all chance in the story; the same one tells the same story.
        password: of both people; else one that nobody knows, as the demo is entered by a link.

    Returns:
        The owner.

    Raises:
        Conflict: the database holds a yard already.
        DataFolderError: nothing was kept.
    """
    table = yard_table()
    secret = password or secrets.token_urlsafe(24)
    with writing():
        yard = yards.create_yard(
            name=table["name"],
            latitude=table["latitude"],
            longitude=table["longitude"],
            timezone=table["timezone"],
            units=table["units"],
            origin=origin,
            last_frost=yards.FrostDate.read(table["last_frost"]),
            first_frost=yards.FrostDate.read(table["first_frost"]),
        )
        owner = people.add_person(table["owner"], secret, "owner")
        keeper = people.add_person(table["keeper"], secret)
        days = Days(today, seed)
        plants = _add_plants(days)
        limbs = _add_limbs(plants, days, make_code)
        for row in demo_plants():
            if row.lived:
                tag = issue_tag(plants[row.name].id, make_code)
                if row.state == "gone" and (ended := days.ended(row)):
                    retire_tag(tag.code, datetime.combine(ended, time(18), UTC))
        told = story(days)
        photos = _keep_photos({seen.picture for seen in told if seen.picture}, keeper)
        pen = Pen(Cast(plants, limbs, {"owner": owner, "keeper": keeper}, photos), yard, days)
        entries = [pen.write(seen) for seen in told]
        entries += pen.slips(entries)
        entries += [pen.write(seen) for seen in _tasks(plants, days, owner, told)]
        keep_entries(entries)
        for row in demo_plants():
            if row.merged_into:
                merge_plants(plants[row.name].id, plants[row.merged_into].id)
    return owner


def _add_plants(days: Days) -> dict[str, Plant]:
    """All plants by name; those that others were raised from come first."""
    plants: dict[str, Plant] = {}
    for raised in (False, True):
        rows = [row for row in demo_plants() if bool(row.raised_from) is raised]
        for plant in add_plants(_facts(row, days, plants) for row in rows):
            plants[plant.name] = plant
    return plants


def _facts(plant: DemoPlant, days: Days, others: Mapping[str, Plant]) -> PlantFacts:
    planted = days.planted(plant)
    ended = days.ended(plant)
    return PlantFacts(
        name=plant.name,
        crop=plant.crop,
        cultivar=plant.cultivar,
        rootstock=plant.rootstock,
        raised=plant.raised,
        planted=(planted.isoformat()[:7] if plant.month else f"{planted.year}") if planted else None,
        planted_about=plant.about,
        spot=plant.spot,
        x_m=plant.x,
        y_m=plant.y,
        container=plant.pot_gal is not None,
        container_litres=round(litres(plant.pot_gal), 2) if plant.pot_gal else None,
        training=plant.training,
        wanted_height_m=round(metres(plant.keep_ft), 3) if plant.keep_ft else None,
        source=plant.source,
        raised_from=others[plant.raised_from].id if plant.raised_from else None,
        state=plant.state,
        ended=ended.isoformat() if ended else None,
        ended_why=plant.ended_why,
    )


def _add_limbs(
    plants: Mapping[str, Plant], days: Days, make_code: Callable[[], str]
) -> dict[tuple[str, str], str]:
    """Ids of all limbs by plant and name."""
    limbs = {}
    for row in demo_plants():
        for limb in row.limbs:
            grafted = f"{days.today.year - limb.grafted_ago}"
            plant_id = plants[row.name].id
            added = add_limb(plant_id, LimbFacts(limb.name, cultivar=limb.cultivar, grafted=grafted))
            limbs[row.name, limb.name] = added.id
            if limb.tagged:
                issue_tag(plant_id, make_code, limb_id=added.id)
    return limbs


def _keep_photos(drawings: Iterable[str], author: Person) -> dict[str, str]:
    """Names of the photos of these drawings, kept as those that a phone sends."""
    photos = {}
    for drawing in sorted(drawings):
        sent = draw(drawing)
        photos[drawing] = name_of(sent)
        keep(photos[drawing], remade(sent), author.id)
    return photos


def _tasks(plants: Mapping[str, Plant], days: Days, owner: Person, told: Sequence[Seen]) -> list[Seen]:
    """Set the work that fits this time of year; gives the entries of what was done of last month's."""
    done = []
    last_month = (days.today.replace(day=1) - timedelta(days=1)).month
    lately = {
        (seen.plant, work)
        for seen in told
        if seen.kind == "done" and days.today - seen.on < _LATELY
        for work in seen.details["work"]
    }
    for row in events_table()["task"]:
        plant = plants[row["plant"]]
        if (plant.name, row.get("work")) in lately:
            continue
        if days.today.month in row["months"]:
            opens, closes = (days.today + timedelta(days=row[end]) for end in ("opens", "closes"))
            add_task(plant.id, row["title"], opens, closes, owner.id)
        elif last_month in row["months"]:
            opened = days.today - timedelta(days=40)
            task = add_task(plant.id, row["title"], opened, opened + timedelta(days=20), owner.id)
            done.append(Seen(plant.name, "done", days.walked(opened + timedelta(days=9)), {"task": task.id}))
    return done
