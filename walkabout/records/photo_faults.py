"""Are the files of photos those that the records name, and the other way round? Each fault is one line."""

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from walkabout.records import models
from walkabout.records.database import data_folder, database
from walkabout.records.photos import FOLDER, PART, Photo, picture_path, thumb_path


def photo_faults() -> list[str]:
    """What is missing, spoilt or foreign."""
    expected = dict(_expected())
    found = [
        f"{_shown(path)}: this photo {fault}"
        for path, digest in expected.items()
        if (fault := _fault(path, digest))
    ]
    root = data_folder() / FOLDER
    for path in sorted(root.rglob("*")) if root.is_dir() else ():
        if path.is_file() and path not in expected:
            what = "was not written to its end" if path.name.endswith(PART) else "belongs to no photo"
            found.append(f"{_shown(path)}: this file {what}; nothing is lost if it is moved away")
    return found + _table_faults()


def _expected() -> Iterator[tuple[Path, str]]:
    """Every file that there must be, with its SHA-256."""
    for row in models.Photo.select().order_by(models.Photo.hash).tuples().iterator():
        photo = Photo(*row)
        yield picture_path(photo.hash), photo.kept_hash
        yield thumb_path(photo.hash), photo.thumb_hash


def _shown(path: Path) -> str:
    return path.relative_to(data_folder()).as_posix()


def _fault(path: Path, digest: str) -> str | None:
    try:
        with path.open("rb") as file:
            right = hashlib.file_digest(file, "sha256").hexdigest() == digest
    except FileNotFoundError:
        return "is missing"
    except OSError as error:
        return f"cannot be read ({error.strerror})"
    return None if right else "is not what was kept"


_IN_TABLE = "SELECT photo_hash, entry_id, plant_id FROM entry_photo"
_IN_ENTRIES = """SELECT named.value, entry.id, entry.plant_id
    FROM entry, json_each (iif (json_valid (entry.details), entry.details, '{}'), '$.photos') AS named"""


def _table_faults() -> list[str]:
    """Where the table of which entry shows which photo and the entries themselves differ."""
    connection: Any = database.connection()
    lacking = connection.execute(f"{_IN_ENTRIES} EXCEPT {_IN_TABLE}")
    foreign = connection.execute(f"{_IN_TABLE} EXCEPT {_IN_ENTRIES}")
    return [
        *(
            f"entry {entry_id}: its photo {name} is not noted in entry_photo"
            for name, entry_id, _plant in lacking
        ),
        *(
            f"entry {entry_id}: entry_photo notes {name}, the entry does not"
            for name, entry_id, _plant in foreign
        ),
    ]
