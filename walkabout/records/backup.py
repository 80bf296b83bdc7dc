"""A backup: database and photos as they stood at one moment, in one zip that was read again before it counts."""

import hashlib
import re
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, BinaryIO

from walkabout import __version__
from walkabout.assets import program_version
from walkabout.errors import SchemaTooNew, YardMissing
from walkabout.records.bundle import (
    PHOTO,
    Bundle,
    BundleWriter,
    damaged,
    opened,
    pieces,
    placed_whole,
)
from walkabout.records.database import FILE_NAME, plain_words
from walkabout.records.schema import APPLICATION_ID
from walkabout.records.steps import STEPS

WHAT = "walkabout backup"
FORM = 1
OWN_NAMES = re.compile(re.escape(FILE_NAME))


@dataclass(frozen=True, slots=True)
class Backup:
    """What a verified backup holds.

    Attributes:
        made_at: ISO 8601, UTC.
        yard: the name of the yard.
        schema: the number of its last schema step.
        counts: rows by table.
        photos: how many files of photos, small ones included.
        missing: names of photo files that the database names and the folder lacked, or that were damaged there.
    """

    made_at: str
    yard: str
    schema: int
    counts: dict[str, int]
    photos: int
    missing: tuple[str, ...]

    def words(self) -> str:
        """What it holds, in a few words."""
        plants, entries, photos = (self.counts.get(table, 0) for table in ("plant", "entry", "photo"))
        return f"plants: {plants}, entries: {entries}, photos: {photos}"


def make_backup(folder: Path, out: Path, now: datetime) -> Backup:
    """Write a backup of a data folder, while others may be writing it, and read it again.

    The database is copied first, as it stands at one moment. A photo's file is there before its row and is never
    changed or deleted, so all that this copy names can be found afterwards.

    Args:
        folder: the data folder.
        out: the zip to write; it is there whole and verified, or not at all.
        now: the moment, with its offset.

    Raises:
        YardMissing: there is no yard in the folder.
        DiskFull: the disk took no more.
        DataFolderError: the database cannot be read.
        BadInput: what was written did not read the same; nothing was placed.
    """
    source = must_hold_a_database(folder)
    with placed_whole(out) as file:
        with tempfile.TemporaryDirectory(dir=out.parent, prefix=".walkabout-") as place:
            copy = Path(place) / FILE_NAME
            with plain_words(f"The database {source} cannot be copied"):
                _copy(source, copy)
            _write(file, folder, copy, now)
        file.flush()
        return verified(file, str(out))


def must_hold_a_database(folder: Path) -> Path:
    """The database file of a data folder.

    Raises:
        YardMissing: it is not there.
    """
    source = folder / FILE_NAME
    if not source.is_file():
        raise YardMissing(f"There is no yard in {folder}. Set one up with: walkabout --data {folder} init")
    return source


def verified(file: Path | BinaryIO, where: str) -> Backup:
    """Read a backup through: every digest, the database's own checks, the counts.

    Raises:
        BadInput: it is damaged or no backup.
        SchemaTooNew: a newer program made it.
    """
    with opened(file, where, OWN_NAMES) as bundle:
        must_be_backup(bundle)
        for name in bundle.names:
            if name != FILE_NAME:
                for _ in bundle.read(name):
                    pass
        near = file.parent if isinstance(file, Path) else Path(where).parent
        with tempfile.TemporaryDirectory(dir=near, prefix=".walkabout-") as place:
            bundle.extract(FILE_NAME, Path(place) / FILE_NAME)
            return checked_database(bundle, Path(place) / FILE_NAME)


def must_be_backup(bundle: Bundle) -> None:
    """Raises BadInput or SchemaTooNew for a zip that this program cannot restore."""
    bundle.must_be(WHAT, FORM)
    if FILE_NAME not in bundle.names:
        raise damaged(bundle.where, "it holds no database")
    schema = bundle.manifest.get("schema")
    if not isinstance(schema, int):
        raise damaged(bundle.where, "it does not say which schema it has")
    if schema > len(STEPS):
        raise SchemaTooNew(
            f"{bundle.where} was made by a newer walkabout (schema {schema}, this one knows {len(STEPS)}). "
            "Nothing was written. Install the newer program."
        )


def checked_database(bundle: Bundle, path: Path) -> Backup:
    """What the database of a backup holds, when it is sound and just what the manifest says.

    Raises:
        BadInput: it is not.
    """
    manifest, where = bundle.manifest, bundle.where
    try:
        with closing(sqlite3.connect(path)) as connection:
            _must_be_sound(connection, manifest, where)
            files = dict(_photo_files(connection))
    except sqlite3.DatabaseError as error:
        raise damaged(where, "its database cannot be opened") from error
    photos = {name for name in bundle.names if PHOTO.fullmatch(name)}
    missing = set(files) - photos
    if photos - set(files) or missing != set(manifest.get("missing", ())):
        raise damaged(where, "its photos are not those that its database names")
    if any(manifest["members"][name] != files[name] for name in photos):
        raise damaged(where, "a photo is not the one that its database names")
    return Backup(
        str(manifest.get("made_at")),
        str(manifest.get("yard")),
        int(manifest["schema"]),
        dict(manifest["counts"]),
        len(photos),
        tuple(sorted(missing)),
    )


def _must_be_sound(connection: sqlite3.Connection, manifest: dict[str, Any], where: str) -> None:
    def one(pragma: str) -> Any:
        return connection.execute(f"PRAGMA {pragma}").fetchone()

    if one("application_id") != (APPLICATION_ID,) or one("user_version") != (manifest["schema"],):
        raise damaged(where, "its database is another one")
    if one("integrity_check") != ("ok",) or one("foreign_key_check") is not None:
        raise damaged(where, "its database is not sound")
    if _counts(connection) != manifest.get("counts"):
        raise damaged(where, "its database does not hold what was counted")


def _copy(source: Path, copy: Path) -> None:
    with closing(sqlite3.connect(source, timeout=30)) as here, closing(sqlite3.connect(copy)) as there:
        here.backup(there)  # in one step: a snapshot, during which others write on
        there.execute("PRAGMA journal_mode = DELETE")  # one file that is the whole


def _write(file: BinaryIO, folder: Path, copy: Path, now: datetime) -> None:
    with closing(sqlite3.connect(copy)) as connection:
        counts = _counts(connection)
        files = list(_photo_files(connection))
        (schema,) = connection.execute("PRAGMA user_version").fetchone()
        found = connection.execute("SELECT name FROM yard").fetchone()
    if found is None:
        raise YardMissing(f"No yard is set up in {folder}. Set one up with: walkabout --data {folder} init")
    with BundleWriter(file) as writer, copy.open("rb") as database:
        _run(writer.add(FILE_NAME, pieces(database)))
        missing = [name for name, digest in files if not _added(writer, folder, name, digest)]
        manifest = {
            "what": WHAT,
            "form": FORM,
            "program": __version__,
            "program_version": program_version(),
            "schema": schema,
            "made_at": now.isoformat(timespec="seconds"),
            "yard": found[0],
            "counts": counts,
            "missing": missing,
        }
        writer.close(manifest)


def _added(writer: BundleWriter, folder: Path, name: str, digest: str) -> bool:
    """Add a photo's file; False, and nothing added, when it is not there or not the one that was kept.

    One lost photo must not keep all else from being saved, so it is left out and named.
    """
    try:
        content = (folder / name).read_bytes()
    except OSError:
        return False
    if hashlib.sha256(content).hexdigest() != digest:
        return False
    _run(writer.add(name, [content], squeeze=False))
    return True


def _run(written: Iterator[int]) -> None:
    for _ in written:
        pass


def _counts(connection: sqlite3.Connection) -> dict[str, int]:
    names = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite^_%' ESCAPE '^' ORDER BY name"
    ).fetchall()
    counted = {}
    for (name,) in names:
        (counted[name],) = connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()  # noqa: S608
    return counted


def _photo_files(connection: sqlite3.Connection) -> Iterator[tuple[str, str]]:
    """Path in the data folder and SHA-256 of every photo file that a database names."""
    if not connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'photo'").fetchone():
        return  # of a time before photos
    for name, kept, thumb in connection.execute(
        "SELECT hash, kept_hash, thumb_hash FROM photo ORDER BY hash"
    ):
        yield f"photos/{name[:2]}/{name}.jpg", kept
        yield f"photos/{name[:2]}/{name}.thumb.jpg", thumb
