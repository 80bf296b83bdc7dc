"""The database file: opening it, the connection of each thread, and the one place where writes begin."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import peewee

from walkabout.errors import DataFolderError, DiskFull, WalkaboutError, YardMissing
from walkabout.records.ledger import Ledger
from walkabout.records.schema import bring_up_to_date

FILE_NAME = "walkabout.sqlite3"

# A phone deletes its copy once the server has confirmed an entry, so a commit must survive a power cut:
# synchronous FULL, not the NORMAL that is usual with WAL.
PRAGMAS = {
    "journal_mode": "wal",
    "synchronous": "full",
    "foreign_keys": 1,
    "busy_timeout": 5000,
    "trusted_schema": 0,
    "cache_size": -16000,
    "wal_autocheckpoint": 4000,
}

database = peewee.SqliteDatabase(None, pragmas=PRAGMAS)


def open_database(folder: Path, *, create: bool = False) -> None:
    """Open the database of a data folder and bring its schema up to date.

    Args:
        folder: the data folder.
        create: make folder and database if they are not there.

    Raises:
        YardMissing: there is no database and `create` is false.
        SchemaTooNew: a newer program wrote it.
        DataFolderError: the folder or file cannot be used.
    """
    path = folder / FILE_NAME
    if not create and not path.is_file():
        raise YardMissing(f"There is no yard in {folder}. Set one up with: walkabout --data {folder} init")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise DataFolderError(
            f"The data folder {folder} cannot be made ({error.strerror}). Choose another with --data."
        ) from error
    close_database()
    try:
        with plain_words(f"The database {path} cannot be opened"):
            bring_up_to_date(path)
            database.init(str(path), pragmas=PRAGMAS)
            database.connect()
    except WalkaboutError:
        close_database()
        raise


def close_database() -> None:
    """Close this thread's connection, if one is open."""
    if database.database is not None and not database.is_closed():
        database.close()


def data_folder() -> Path:
    """The folder of the open database."""
    return Path(str(database.database)).parent


def connect_thread() -> None:
    """Give the calling thread a connection, which stays open for the thread's life.

    Closing the last connection of a process would write the whole log back each time; a thread of the
    server keeps its own instead.
    """
    database.connect(reuse_if_open=True)


@contextmanager
def writing() -> Iterator[Ledger]:
    """A write transaction and the ledger that numbers its changes. All writes of the program begin here.

    Nested use joins the transaction that is open. The lock is taken at the start, so that what is read
    inside is still true at the commit.

    Raises:
        DiskFull: nothing of the transaction has been kept.
        DataFolderError: the database could not be written.
    """
    with plain_words("The database cannot be written"), database.atomic("IMMEDIATE"):
        ledger = Ledger(database)
        yield ledger
        ledger.close()


# What SQLite says, and what a person is told.
_PLAIN_WORDS: tuple[tuple[str, type[DataFolderError], str], ...] = (
    (
        "disk is full",
        DiskFull,
        "The disk is full. What is recorded is safe; the last step was not kept. Free some space and repeat it.",
    ),
    ("locked", DataFolderError, "{what}: another program holds it. Close that program and try again."),
    (
        "readonly",
        DataFolderError,
        "{what}: the folder is not writable. Give this user the right to write it.",
    ),
    (
        "unable to open",
        DataFolderError,
        "{what}: the folder is not writable. Give this user the right to write it.",
    ),
    (
        "not a database",
        DataFolderError,
        "{what}: the file is damaged or not a database. Restore a backup copy.",
    ),
    ("malformed", DataFolderError, "{what}: the file is damaged or not a database. Restore a backup copy."),
)


@contextmanager
def plain_words(what: str) -> Iterator[None]:
    """Tell what SQLite says as one plain line that begins with `what`."""
    try:
        yield
    except (peewee.IntegrityError, sqlite3.IntegrityError):
        raise
    except (peewee.DatabaseError, sqlite3.DatabaseError) as error:
        said = _all_that_was_said(error)
        for sign, kind, words in _PLAIN_WORDS:
            if sign in said:
                raise kind(words.format(what=what)) from error
        raise DataFolderError(f"{what} ({error}). Run: walkabout check") from error


def _all_that_was_said(error: BaseException | None) -> str:
    """The texts of an error and of those before it: a full disk ends the transaction, and the rollback fails too."""
    texts = []
    while error is not None:
        texts.append(str(error))
        error = error.__context__
    return "; ".join(texts)
