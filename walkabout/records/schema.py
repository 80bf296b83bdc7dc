"""Numbered schema steps: run at start, each in a transaction, after a copy was set aside."""

import os
import sqlite3
from collections.abc import Sequence
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from walkabout.errors import DataFolderError, SchemaTooNew
from walkabout.records.bundle import sync_folder
from walkabout.records.steps import STEPS

APPLICATION_ID = 0x57414C4B  # "WALK": tells our database from any other SQLite file


def bring_up_to_date(path: Path, steps: Sequence[Sequence[str]] = STEPS) -> int:
    """Run the steps that the database file lacks.

    Args:
        path: the database file; made if it is not there.
        steps: all steps, oldest first; step n brings the schema from version n - 1 to n.

    Returns:
        How many steps were run.

    Raises:
        SchemaTooNew: the file has more steps than this program knows.
        DataFolderError: the file is some other program's database.
    """
    with closing(sqlite3.connect(path, isolation_level=None, timeout=5)) as connection:
        version = _pragma(connection, "user_version")
        if version > len(steps):
            raise SchemaTooNew(
                f"The database {path} was written by a newer walkabout (schema {version}, this one knows {len(steps)}). "
                "Nothing was changed. Install the newer program."
            )
        tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        if tables and _pragma(connection, "application_id") != APPLICATION_ID:
            raise DataFolderError(f"{path} belongs to another program. Choose another folder with --data.")
        if version == len(steps):
            return 0
        if version:
            _set_aside(connection, path, version)
        for number in range(version + 1, len(steps) + 1):
            _run(connection, number, steps[number - 1])
        return len(steps) - version


def _pragma(connection: sqlite3.Connection, name: str) -> int:
    return int(connection.execute(f"PRAGMA {name}").fetchone()[0])


def _set_aside(connection: sqlite3.Connection, path: Path, version: int) -> None:
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%SZ")
    aside = path.parent / "aside" / f"schema-{version}-{stamp}.sqlite3"
    aside.parent.mkdir(exist_ok=True)
    with closing(sqlite3.connect(aside)) as copy:
        connection.backup(copy)
        sound = copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        whole = _pragma(copy, "user_version") == version
    if not (sound and whole):
        aside.unlink()
        raise DataFolderError(
            f"{path} could not be copied soundly before its schema is changed. Nothing was changed. Restore a backup copy."
        )
    with aside.open("rb+") as file:
        os.fsync(file.fileno())
    sync_folder(aside.parent)


def _run(connection: sqlite3.Connection, number: int, statements: Sequence[str]) -> None:
    connection.execute("BEGIN IMMEDIATE")
    try:
        # Another process may have run the step while this one waited for the lock.
        if _pragma(connection, "user_version") < number:
            for statement in statements:
                connection.execute(statement)
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version = {number}")
        connection.execute("COMMIT")
    except sqlite3.Error as error:
        connection.execute("ROLLBACK")
        if isinstance(error, sqlite3.OperationalError):
            raise
        raise DataFolderError(
            f"Schema step {number} failed ({error}). Nothing was changed; a copy stands in the folder 'aside'."
        ) from error
