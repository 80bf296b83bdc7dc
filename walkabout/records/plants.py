"""Plants: what each is, where it stands, and finding it."""

import json
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any
from uuid import uuid4

import peewee

from walkabout.errors import BadInput, NotFound
from walkabout.records import models
from walkabout.records.database import database, writing
from walkabout.records.kin import mark_kin
from walkabout.records.spots import Spot, save_spot

STATES = ("wanted", "ordered", "growing", "dead", "gone")
SHORTEST_CODE_PART = 3  # fewer signs of a tag code would find half the yard


@dataclass(frozen=True, slots=True)
class PlantFacts:
    """What a person says a plant is.

    Attributes:
        name: the grower's own name for it.
        crop: a key of the books when they know it, else the grower's own word.
        raised: how it was raised: "grafted", "cutting", "seed", ...; "" when not known.
        planted: ISO date, year and month, or year; None when not known.
        planted_about: True when `planted` is about.
        spot: name of the spot it stands in; "" when none.
        x_m, y_m: the spot's position in metres, if it is to be set.
        container_litres: volume, for a plant in a container.
        training: the form it is trained to, a key of the books or the grower's own word; "" when not known.
        wanted_height_m: the height it is to be kept at, metres; None when nothing is said.
        source: where it came from, in words.
        raised_from: id of the plant of this yard that it was raised from; None when none or not known.
        state: one of STATES.
        ended: ISO date, year and month, or year in which it died or went; None when not known or still there.
        ended_why: what is said of that.
    """

    name: str
    crop: str
    cultivar: str = ""
    rootstock: str = ""
    raised: str = ""
    planted: str | None = None
    planted_about: bool = False
    spot: str = ""
    x_m: float | None = None
    y_m: float | None = None
    container: bool = False
    container_litres: float | None = None
    training: str = ""
    wanted_height_m: float | None = None
    source: str = ""
    raised_from: str | None = None
    state: str = "growing"
    ended: str | None = None
    ended_why: str = ""


@dataclass(frozen=True, slots=True)
class Plant:
    """A plant as recorded.

    Attributes:
        code: of its hanging tag; None when it has none.
        merged_into: the plant that this one turned out to be; None for a plant of its own.
        (the others as in PlantFacts)
    """

    id: str
    name: str
    crop: str
    cultivar: str
    rootstock: str
    raised: str
    planted: str | None
    planted_about: bool
    spot: Spot | None
    container: bool
    container_litres: float | None
    training: str
    wanted_height_m: float | None
    source: str
    raised_from: str | None
    state: str
    ended: str | None
    ended_why: str
    merged_into: str | None
    made_at: str
    changed: int
    code: str | None


def add_plant(facts: PlantFacts) -> Plant:
    """Record a new plant."""
    return add_plants([facts])[0]


def add_plants(many: Iterable[PlantFacts]) -> list[Plant]:
    """Record new plants, all or none."""
    ids = []
    with writing() as ledger:
        yard = models.Yard.get()
        for facts in many:
            plant_id = str(uuid4())
            models.Plant.create(id=plant_id, yard_id=yard.id, made_at=ledger.now, **_columns(facts))
            ledger.changed("plant", plant_id, plant_id)
            ids.append(plant_id)
        mark_kin(ids, ledger)
    added = plants_by_id(ids)
    return [added[plant_id] for plant_id in ids]


def change_plant(plant_id: str, facts: PlantFacts) -> Plant:
    """Change what is recorded of a plant.

    Raises:
        NotFound: there is no such plant.
        BadInput: it would have been raised from itself, by whatever way.
    """
    with writing() as ledger:
        mark_kin([plant_id], ledger)
        _must_not_descend_from_itself(plant_id, facts.raised_from)
        changed = models.Plant.update(**_columns(facts)).where(models.Plant.id == plant_id).execute()
        if not changed:
            raise NotFound("There is no such plant in this yard. It may have been typed wrong.")
        ledger.changed("plant", plant_id, plant_id)
        mark_kin([plant_id], ledger)
    found = plant(plant_id)
    assert found is not None  # noqa: S101 -- it was changed a moment ago and plants are never deleted
    return found


def plant(plant_id: str) -> Plant | None:
    """The plant of that id, or None."""
    row = _select().where(models.Plant.id == plant_id).tuples().first()
    return _plant(row) if row else None


def plants_by_id(plant_ids: Iterable[str]) -> dict[str, Plant]:
    """The plants of those ids that are there."""
    # Run as text that was built once: building it takes longer than running it.
    text, first_values = _by_ids()
    rows = database.execute_sql(text, (*first_values, json.dumps(list(plant_ids))))
    return {row[0]: _plant(row) for row in rows}


def crops_and_roots(plant_ids: Iterable[str]) -> dict[str, tuple[str, str]]:
    """For each of those plants that is there its crop and how it was raised: all that an entry is judged by."""
    connection: Any = database.connection()
    rows = connection.execute(
        "SELECT id, crop, raised FROM plant WHERE id IN (SELECT value FROM json_each (?))",
        (json.dumps(list(plant_ids)),),
    )
    return {plant_id: (crop, raised) for plant_id, crop, raised in rows}


def plants_named(names: Iterable[str]) -> dict[str, list[Plant]]:
    """All plants that bear one of the names, by folded name (see `folded`); not those merged into another."""
    wanted = {folded(name) for name in names}
    found: dict[str, list[Plant]] = {}
    for row in _select().where(models.Plant.merged_into.is_null()).tuples():
        key = folded(row[1])
        if key in wanted:
            found.setdefault(key, []).append(_plant(row))
    return found


def plant_named(name: str) -> Plant | None:
    """A plant of that name, capitals and accents aside; None if there is none."""
    found = plants_named([name]).get(folded(name))
    return found[0] if found else None


def plants(
    search: str = "",
    *,
    crop: str = "",
    states: Iterable[str] = (),
    spot_id: str = "",
    ids: Iterable[str] | None = None,
    limit: int | None = None,
    offset: int = 0,
) -> list[Plant]:
    """Plants that fit all filters, by spot then name; an empty filter lets all pass.

    Plants that were merged into another are never among them.

    Args:
        search: words that must all occur in name, crop, cultivar, rootstock, spot or tag code.
        ids: only these; None lets all pass.
    """
    query = _filtered(_select(), search, crop, states, spot_id, ids)
    query = query.order_by(
        models.Spot.name.is_null(), models.Spot.name, _no_case(models.Plant.name), models.Plant.id
    )
    return [_plant(row) for row in query.limit(limit).offset(offset).tuples()]


def count_plants(
    search: str = "",
    *,
    crop: str = "",
    states: Iterable[str] = (),
    spot_id: str = "",
    ids: Iterable[str] | None = None,
) -> int:
    """How many plants fit all filters."""
    query = models.Plant.select(models.Plant.id)
    return int(_filtered(query, search, crop, states, spot_id, ids).count())


def matching_ids(
    search: str = "",
    *,
    crop: str = "",
    states: Iterable[str] = (),
    spot_id: str = "",
    ids: Iterable[str] | None = None,
) -> list[str]:
    """Ids of the plants that fit all filters, in no order."""
    query = _filtered(models.Plant.select(models.Plant.id), search, crop, states, spot_id, ids)
    return [plant_id for (plant_id,) in query.tuples()]


def crops_grown() -> list[str]:
    """Every crop of the yard, once."""
    table = models.Plant
    grown = table.select(table.crop).where(table.merged_into.is_null()).distinct().order_by(table.crop)
    return [crop for (crop,) in grown.tuples()]


def folded(text: str) -> str:
    """Text for comparing: no capitals, no accents, single spaces."""
    plain = "".join(
        sign for sign in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(sign)
    )
    return " ".join(plain.split())


def _columns(facts: PlantFacts) -> dict[str, Any]:
    spot = save_spot(facts.spot, facts.x_m, facts.y_m) if facts.spot else None
    return {
        "name": facts.name,
        "crop": facts.crop,
        "cultivar": facts.cultivar,
        "rootstock": facts.rootstock,
        "raised": facts.raised,
        "planted": facts.planted,
        "planted_about": facts.planted_about,
        "spot_id": spot.id if spot else None,
        "container": facts.container,
        "container_litres": facts.container_litres,
        "training": facts.training,
        "wanted_height_m": facts.wanted_height_m,
        "source": facts.source,
        "raised_from": facts.raised_from,
        "state": facts.state,
        "ended": facts.ended,
        "ended_why": facts.ended_why,
        "search": search_text(facts.name, facts.crop, facts.cultivar, facts.rootstock, facts.spot),
    }


def search_text(name: str, crop: str, cultivar: str, rootstock: str, spot: str) -> str:
    """What the words of a search are looked for in."""
    return folded(f"{name} {crop.replace('_', ' ')} {cultivar} {rootstock} {spot}")


_ANCESTORS = """WITH RECURSIVE up (id) AS (
        SELECT ?1 UNION SELECT plant.raised_from FROM up JOIN plant USING (id) WHERE plant.raised_from IS NOT NULL
    )
    SELECT EXISTS (SELECT 1 FROM up WHERE id = ?2)"""


def _must_not_descend_from_itself(plant_id: str, raised_from: str | None) -> None:
    connection: Any = database.connection()
    if raised_from and connection.execute(_ANCESTORS, (raised_from, plant_id)).fetchone()[0]:
        raise BadInput(
            "That plant was itself raised from this one. Choose another, or leave it empty.", "raised_from"
        )


_FIELDS = (
    "id", "name", "crop", "cultivar", "rootstock", "raised", "planted", "planted_about", "container",
    "container_litres", "training", "wanted_height_m", "source", "raised_from", "state", "ended", "ended_why",
    "merged_into", "made_at", "changed",
)  # fmt: skip


def _select() -> Any:
    hanging = (
        models.Tag.select(models.Tag.code)
        .where(
            (models.Tag.plant_id == models.Plant.id)
            & (models.Tag.state == "hanging")
            & models.Tag.limb_id.is_null()
        )
        .order_by(models.Tag.made_at.desc(), models.Tag.code)
        .limit(1)
    )
    return models.Plant.select(
        *(getattr(models.Plant, field) for field in _FIELDS),
        models.Spot.id,
        models.Spot.name,
        models.Spot.x_m,
        models.Spot.y_m,
        hanging,
    ).join(models.Spot, peewee.JOIN.LEFT_OUTER, on=(models.Spot.id == models.Plant.spot_id))


@cache
def _by_ids() -> tuple[str, list[Any]]:
    """The query for plants by their ids and its values, but for the last: the ids as a JSON list."""
    listed = peewee.SQL("(SELECT value FROM json_each (?))", ("",))
    text, values = _select().where(models.Plant.id.in_(listed)).sql()
    return text, values[:-1]


def _plant(row: tuple[Any, ...]) -> Plant:
    facts = dict(zip(_FIELDS, row, strict=False))
    spot_id, name, x_m, y_m, code = row[len(_FIELDS) :]
    spot = Spot(spot_id, name, x_m, y_m) if spot_id is not None else None
    return Plant(**facts, spot=spot, code=code)


def _filtered(
    query: Any, search: str, crop: str, states: Iterable[str], spot_id: str, ids: Iterable[str] | None
) -> Any:
    query = query.where(models.Plant.merged_into.is_null())
    for word in folded(search).split():
        found = peewee.fn.INSTR(models.Plant.search, word) > 0
        code = word.upper().replace("-", "")
        if len(code) >= SHORTEST_CODE_PART:
            tagged = models.Tag.select(models.Tag.plant_id).where(peewee.fn.INSTR(models.Tag.code, code) > 0)
            found |= models.Plant.id.in_(tagged)
        query = query.where(found)
    if crop:
        query = query.where(models.Plant.crop == crop)
    if states:
        query = query.where(models.Plant.state.in_(list(states)))
    if spot_id:
        query = query.where(models.Plant.spot_id == spot_id)
    if ids is not None:
        listed = peewee.SQL("(SELECT value FROM json_each (?))", (json.dumps(list(ids)),))
        query = query.where(models.Plant.id.in_(listed))
    return query


def _no_case(field: peewee.Field) -> peewee.NodeList:
    return peewee.NodeList((field, peewee.SQL("COLLATE NOCASE")))
