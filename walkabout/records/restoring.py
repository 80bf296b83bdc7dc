"""Filling an empty data folder: beside itself first, then all at once; and a backup made into a yard again."""

import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

from walkabout.errors import DataFolderError
from walkabout.records import models
from walkabout.records.backup import OWN_NAMES, Backup, checked_database, must_be_backup
from walkabout.records.bundle import opened, sync_folder
from walkabout.records.database import FILE_NAME, close_database, open_database, writing

_UNFINISHED = "unfinished"
PHOTOS = "photos"


def restore(path: Path, into: Path) -> Backup:
    """Make a backup into a data folder of its own; it is open afterwards.

    The database gets a new id, so that phones offer again what they sent, and a new key; every phone must sign in
    again. Schema steps that it lacks are run.

    Args:
        path: the backup.
        into: an empty folder, or one that is not there yet.

    Raises:
        BadInput: the file is damaged or no backup.
        SchemaTooNew: a newer program made it.
        DataFolderError: the folder is not empty or cannot be written.
        In each case nothing is left in the folder.
    """
    with opened(path, str(path), OWN_NAMES) as bundle:
        must_be_backup(bundle)
        with filled_at_once(into) as folder:
            for name in bundle.names:
                bundle.extract(name, folder / name)
            backup = checked_database(bundle, folder / FILE_NAME)
            open_database(folder)
            give_new_identity()
    open_database(into)
    return backup


def give_new_identity() -> None:
    """Let the open database be another one: a new id and key, nobody signed in, no link that lets in."""
    with writing() as ledger:
        for setting, value in (("database_id", str(uuid4())), ("secret_key", secrets.token_hex(32))):
            models.Setting.replace(name=setting, value=value).execute()
        models.Session.update(ended_at=ledger.now).where(models.Session.ended_at.is_null()).execute()
        models.SignInLink.update(used_at=ledger.now).where(models.SignInLink.used_at.is_null()).execute()
        ledger.changed("yard", str(models.Yard.get().id))


@contextmanager
def filled_at_once(folder: Path) -> Iterator[Path]:
    """A place in which to build what an empty folder is to hold; moved there when the block ends well.

    The database comes last: a folder without it is no yard, so a power cut leaves a yard or none.

    Raises:
        DataFolderError: the folder is not empty or cannot be written.
    """
    place = folder / _UNFINISHED
    try:
        held = [path.name for path in folder.iterdir()] if folder.exists() else []
        if set(held) - {_UNFINISHED}:
            raise DataFolderError(
                f"{folder} is not empty ({min(set(held) - {_UNFINISHED})}). Nothing was written. "
                "Choose an empty folder, or one that is not there yet."
            )
        shutil.rmtree(place, ignore_errors=True)  # of one that the power left
        place.mkdir(parents=True)
    except OSError as error:
        raise DataFolderError(
            f"The folder {folder} cannot be written ({error.strerror}). Give this user the right, or choose another."
        ) from error
    try:
        yield place
        close_database()
        for name in (PHOTOS, FILE_NAME):
            if (place / name).exists():
                (place / name).replace(folder / name)
        sync_folder(folder)
    finally:
        close_database()
        shutil.rmtree(place, ignore_errors=True)
