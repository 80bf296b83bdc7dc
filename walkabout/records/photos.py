"""Photos: named by what a phone sent, kept as a picture made anew, as files in the data folder.

``photos/<first two signs>/<name>.jpg`` is the picture, ``<name>.thumb.jpg`` the small one. A file is on the disk before
its row is; it is never changed or deleted. Which entries show a photo is worked out from the entries, which may come
before or after it.
"""

import errno
import hashlib
import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from walkabout.errors import DataFolderError, DiskFull
from walkabout.records import models
from walkabout.records.bundle import sync_folder
from walkabout.records.database import data_folder, database, writing

FOLDER = "photos"
STORED, HERE = "stored", "here"
_PICTURE, _THUMB = ".jpg", ".thumb.jpg"
PART = ".part"  # what was being written when the program or the power went
_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture to keep: JPEG files without anything but the picture, and its size in pixels."""

    kept: bytes
    thumb: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo as kept.

    Attributes:
        hash: its name, the SHA-256 of what was sent.
        kept_hash, thumb_hash: SHA-256 of its two files.
        width, height: of the kept picture, in pixels.
        bytes: of the kept picture.
        received_at: UTC, ISO 8601.
    """

    hash: str
    kept_hash: str
    thumb_hash: str
    width: int
    height: int
    bytes: int
    author_id: str
    received_at: str


def name_of(sent: bytes) -> str:
    """The name of a photo: the SHA-256 of the bytes that are sent, in lower-case hexadecimal."""
    return hashlib.sha256(sent).hexdigest()


def keep(name: str, picture: Picture, author_id: str) -> str:
    """Keep a photo; on return it survives a power cut. One whose files are gone is given them back.

    Returns:
        "stored", or "here" when it has been kept already.

    Raises:
        DiskFull, DataFolderError: nothing was kept.
    """
    if is_kept(name):
        return HERE
    with _plain_words():
        _place(picture_path(name), picture.kept)
        _place(thumb_path(name), picture.thumb)
    with writing() as ledger:
        row = {
            "hash": name,
            "kept_hash": name_of(picture.kept),
            "thumb_hash": name_of(picture.thumb),
            "width": picture.width,
            "height": picture.height,
            "bytes": len(picture.kept),
            "author_id": author_id,
            "received_at": ledger.now,
        }
        models.Photo.insert(row).on_conflict_replace().execute()
        for plant_id in _plants_that_show(name):
            ledger.changed("photo", name, plant_id)
    return STORED


def photo(name: str) -> Photo | None:
    """The photo of that name, if it has come."""
    row = models.Photo.select().where(models.Photo.hash == name).tuples().first()
    return Photo(*row) if row else None


def is_kept(name: str) -> bool:
    """Whether the photo has come and its files are there."""
    return photo(name) is not None and picture_path(name).is_file() and thumb_path(name).is_file()


def come(names: Iterable[str]) -> dict[str, Photo]:
    """Those of the photos that have come, by name; one query, or none for no names."""
    asked = list(names)
    if not asked:
        return {}
    rows = models.Photo.select().where(models.Photo.hash.in_(asked)).tuples()
    return {row[0]: Photo(*row) for row in rows}


def shown_lately(most: int) -> list[str]:
    """The photos of standing entries that have come, the latest seen first; so many at most."""
    connection: Any = database.connection()
    rows = connection.execute(_SHOWN, (most,))
    return [name for (name,) in rows]


def picture_path(name: str) -> Path:
    """Where the picture of a photo lies."""
    return data_folder() / FOLDER / name[:2] / (name + _PICTURE)


def thumb_path(name: str) -> Path:
    """Where the small picture of a photo lies."""
    return data_folder() / FOLDER / name[:2] / (name + _THUMB)


_SHOWN = """SELECT photo.hash FROM entry_photo
    JOIN standing ON standing.plant_id = entry_photo.plant_id AND standing.entry_id = entry_photo.entry_id
    JOIN photo ON photo.hash = entry_photo.photo_hash
    GROUP BY photo.hash ORDER BY max (standing.seen_on) DESC, photo.hash LIMIT ?"""


def _plants_that_show(name: str) -> list[str]:
    table = models.EntryPhoto
    rows = table.select(table.plant_id).where(table.photo_hash == name).distinct().tuples()
    return [plant_id for (plant_id,) in rows]


def _place(path: Path, content: bytes) -> None:
    """Write a file so that it is there whole, on the disk, or not at all."""
    _make_folder(path.parent)
    part = path.with_name(path.name + PART)
    try:
        with part.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError:
        part.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def _make_folder(folder: Path) -> None:
    for one in (folder.parent, folder):
        if not one.is_dir():
            one.mkdir(exist_ok=True)
            sync_folder(one.parent)


@contextmanager
def _plain_words() -> Iterator[None]:
    try:
        yield
    except OSError as error:
        if error.errno in _FULL:
            raise DiskFull(
                "The disk is full. What is recorded is safe; the photo was not kept. Free some space and send it again."
            ) from error
        raise DataFolderError(
            f"The photo cannot be written to the data folder ({error.strerror}). What is recorded is safe. "
            "Give this user the right to write it, then send the photo again."
        ) from error
