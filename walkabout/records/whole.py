"""All records of a yard at once: read as they stand at one moment, and kept in a database that has none yet.

What lets somebody in stays here: hashes of passwords, sessions, links, keys. What is worked out from other records
(which entries stand, what a search looks in, numbers of changes) is left out and worked out again.
"""

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

import peewee

from walkabout.errors import BadInput, Conflict
from walkabout.records import models
from walkabout.records.database import database, writing
from walkabout.records.entries import canonical, corrected_at
from walkabout.records.ledger import Ledger
from walkabout.records.people import change_password
from walkabout.records.plants import search_text
from walkabout.records.standing_table import rebuild_standing

Records = Mapping[str, Sequence[Mapping[str, Any]]]

# In an order in which each names only what stands before it, or its own kind.
_MODELS: tuple[type[models.Record], ...] = (
    models.Yard, models.Origin, models.Person, models.Membership, models.Spot, models.Plant, models.Limb, models.Tag,
    models.Photo, models.Entry, models.Task, models.Refusal,
)  # fmt: skip
_BY_TABLE = {str(model._meta.table_name): model for model in _MODELS}
_LEFT_OUT = {
    "yard": {"changed"},
    "person": {"password_hash"},
    "plant": {"search", "changed"},
    "entry": {"seq", "corrected_at"},
}
# A hash that no password has.
_NO_PASSWORD = "!"  # noqa: S105 -- that it is none is the point
_ROWS_AT_ONCE = 500
_KINDS = {
    peewee.FloatField: "number",
    peewee.BooleanField: "yes_no",
    peewee.IntegerField: "whole",
    peewee.AutoField: "whole",
    peewee.TextField: "text",
}


@dataclass(frozen=True, slots=True)
class Field:
    """A field of a record.

    Attributes:
        kind: "text", "number", "whole" or "yes_no"; "json" for the details of an entry.
        null: whether it may be None, which is then what nothing is told by.
    """

    name: str
    kind: str
    null: bool


def tables() -> tuple[str, ...]:
    """The kinds of records, by the names of their tables."""
    return tuple(_BY_TABLE)


def fields(table: str) -> tuple[Field, ...]:
    """The fields of one kind of record that leave the yard."""
    left_out = _LEFT_OUT.get(table, set())
    return tuple(
        Field(
            field.column_name,
            "json" if (table, field.column_name) == ("entry", "details") else _KINDS[type(field)],
            bool(field.null),
        )
        for field in _BY_TABLE[table]._meta.sorted_fields
        if field.column_name not in left_out
    )


def read_whole() -> dict[str, list[dict[str, Any]]]:
    """Every record of the yard, by table, each as a dict of its fields; `details` stays text."""
    with database.atomic():  # one snapshot for all tables
        return {table: _read(table, model) for table, model in _BY_TABLE.items()}


def _read(table: str, model: Any) -> list[dict[str, Any]]:
    names = [field.name for field in fields(table)]
    order = {"entry": "seq"}.get(table)
    key = [getattr(model, order)] if order else _keys(model)
    rows = model.select(*(getattr(model, name) for name in names)).order_by(*key).tuples()
    return [dict(zip(names, row, strict=True)) for row in rows]


def _keys(model: Any) -> list[Any]:
    key = model._meta.primary_key
    names = key.field_names if isinstance(key, peewee.CompositeKey) else (key.name,)
    return [getattr(model, name) for name in names]


def keep_whole(records: Records, owner_id: str, password: str) -> None:
    """Keep all records of a yard in the open database, which has none; all or nothing.

    The owner gets a password. All others come with what they did, but cannot sign in until the owner adds them again.

    Args:
        records: as `read_whole` gives them, but with `details` as a dict.
        owner_id: who is to own the yard here.
        password: for the owner.

    Raises:
        Conflict: there is a yard already.
        BadInput: the records do not go together, or the password is too short.
    """
    try:
        with writing() as ledger:
            if models.Yard.select().exists():
                raise Conflict(
                    "There is a yard in this data folder already. Nothing was changed. Use another."
                )
            connection: Any = database.connection()
            connection.execute("PRAGMA defer_foreign_keys = ON")
            spots = {spot["id"]: spot["name"] for spot in records["spot"]}
            for table, model in _BY_TABLE.items():
                _write(model, [_completed(table, row, spots) for row in records[table]])
            for setting, value in (("database_id", str(uuid4())), ("secret_key", secrets.token_hex(32))):
                models.Setting.create(name=setting, value=value)
            models.Membership.update(ended_at=ledger.now).where(
                (models.Membership.person_id != owner_id) & models.Membership.ended_at.is_null()
            ).execute()
            change_password(owner_id, password)
            rebuild_standing()
            connection.execute(_TIE_PHOTOS)
            _number_all(records, ledger)
    except (peewee.IntegrityError, peewee.InterfaceError) as error:
        raise BadInput(
            f"The records do not go together ({error}). Nothing was written. Take another export of the yard."
        ) from error


_TIE_PHOTOS = """INSERT OR IGNORE INTO entry_photo (photo_hash, entry_id, plant_id)
    SELECT named.value, entry.id, entry.plant_id FROM entry, json_each (entry.details, '$.photos') AS named"""


def _write(model: Any, rows: Sequence[Mapping[str, Any]]) -> None:
    with writing():
        for start in range(0, len(rows), _ROWS_AT_ONCE):
            model.insert_many(rows[start : start + _ROWS_AT_ONCE]).execute()


def _completed(table: str, row: Mapping[str, Any], spots: Mapping[str, str]) -> dict[str, Any]:
    """The row with what is worked out from it and from the names of the spots."""
    whole = dict(row)
    if table == "person":
        whole["password_hash"] = _NO_PASSWORD
    elif table == "plant":
        spot = spots.get(row["spot_id"], "")
        whole["search"] = search_text(row["name"], row["crop"], row["cultivar"], row["rootstock"], spot)
    elif table == "entry":
        whole["details"] = canonical(row["details"]).decode()
        whole["corrected_at"] = corrected_at(row["made_at"], row["clock_difference"])
    return whole


def _number_all(records: Records, ledger: Ledger) -> None:
    for table, rows in records.items():
        for row in rows:
            key = next(
                row[name] for name in ("id", "code", "hash", "person_id", "address", "number") if name in row
            )
            plant_id = row["id"] if table == "plant" else row.get("plant_id")
            ledger.changed(table, str(key), plant_id or "")
    ledger.changed("yard", str(records["yard"][0]["id"]))
