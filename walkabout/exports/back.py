"""An export made into a yard again, in a data folder of its own."""

import json
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from walkabout.errors import BadInput
from walkabout.exports.out import FORM, JSON_NAME, README_NAME, WHAT, photo_names
from walkabout.exports.tables import FILES, rows_of
from walkabout.exports.values import checked
from walkabout.records import soundness
from walkabout.records.bundle import PHOTO, Bundle, damaged, opened
from walkabout.records.database import open_database
from walkabout.records.restoring import filled_at_once
from walkabout.records.whole import keep_whole

OWN_NAMES = re.compile("|".join(map(re.escape, (JSON_NAME, README_NAME, *FILES.values()))))
_LARGEST = 1 << 30  # bytes of one table; a yard of a lifetime has a hundredth of it


@dataclass(frozen=True, slots=True)
class Owner:
    """Somebody who may own the yard again."""

    id: str
    name: str


@dataclass(frozen=True, slots=True)
class Export:
    """An export that was read and makes sense.

    Attributes:
        path: the zip.
        records: lists of records by table.
        owners: who may own the yard; at least one.
        missing: names of photo files that it lacks.
    """

    path: Path
    records: dict[str, list[dict[str, Any]]]
    owners: tuple[Owner, ...]
    missing: tuple[str, ...]

    @property
    def yard(self) -> str:
        """The name of the yard."""
        return str(self.records["yard"][0]["name"])


def read_export(path: Path) -> Export:
    """Read an export; a zip of its CSV tables alone, without yard.json and manifest, is one too.

    Raises:
        BadInput: it is damaged, foreign, or says what cannot be.
    """
    with opened(path, str(path), OWN_NAMES) as bundle:
        records = checked(_records(bundle), bundle.where)
        _must_have_its_photos(bundle, records)
        if len(records["yard"]) != 1:
            raise damaged(bundle.where, f"it holds {len(records['yard'])} yards")
        if not records["origin"]:
            raise damaged(bundle.where, "it names no address of the yard")
        names = {person["id"]: person["name"] for person in records["person"]}
        owners = tuple(
            Owner(member["person_id"], names[member["person_id"]])
            for member in records["membership"]
            if member["role"] == "owner" and member["ended_at"] is None and member["person_id"] in names
        )
        if not owners:
            raise damaged(bundle.where, "nobody owns the yard")
        missing = tuple(sorted({name for name, _ in photo_names(records)} - set(bundle.names)))
        return Export(path, records, owners, missing)


def import_all(export: Export, into: Path, owner: Owner, password: str) -> None:
    """Make the yard of an export in an empty folder; it is open afterwards.

    Raises:
        BadInput: its records do not go together, a photo is damaged, or the password is too short.
        DataFolderError: the folder is not empty or cannot be written.
        In each case nothing is left in the folder.
    """
    with opened(export.path, str(export.path), OWN_NAMES) as bundle, filled_at_once(into) as folder:
        for name in filter(PHOTO.fullmatch, bundle.names):
            bundle.extract(name, folder / name)
        open_database(folder, create=True)
        keep_whole(export.records, owner.id, password)
        # Photos that the export lacks are told to the person; check goes on telling of them.
        faults = [fault for fault in soundness.faults() if not fault.startswith(export.missing)]
        if faults:
            raise damaged(bundle.where, f"its records do not go together ({faults[0]})")
    open_database(into)


def _records(bundle: Bundle) -> Any:
    if bundle.manifest or JSON_NAME in bundle.names:
        bundle.must_be(WHAT, FORM)
        if JSON_NAME not in bundle.names:
            raise damaged(bundle.where, f"{JSON_NAME} is missing")
        for name in set(bundle.names) - {JSON_NAME}:
            for _ in bundle.read(name):
                pass
        try:
            held = json.loads(_content(bundle, JSON_NAME))
        except (ValueError, RecursionError) as error:
            raise damaged(bundle.where, f"{JSON_NAME} cannot be read") from error
        return held.get("records") if isinstance(held, dict) else None
    lacking = sorted(set(FILES.values()) - set(bundle.names))
    if lacking:
        raise BadInput(
            f"{bundle.where} is no walkabout export: {lacking[0]} is not in it. Nothing was written. "
            "Choose a zip that walkabout export wrote, or one of all its tables."
        )
    return {table: rows_of(table, [_content(bundle, name)]) for table, name in FILES.items()}


def _content(bundle: Bundle, name: str) -> bytes:
    if bundle.archive.getinfo(name).file_size > _LARGEST:
        raise damaged(bundle.where, f"{name} is far too large")
    return b"".join(bundle.read(name))


def _must_have_its_photos(bundle: Bundle, records: dict[str, list[dict[str, Any]]]) -> None:
    known = dict(photo_names(records))
    for name in filter(PHOTO.fullmatch, bundle.names):
        if name not in known:
            raise damaged(bundle.where, f"{name} is of no photo that its records name")
        if bundle.digest(name) != known[name]:
            raise damaged(bundle.where, f"{name} is not the photo that its records name")
