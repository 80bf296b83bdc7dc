"""A zip with a manifest: written whole or not at all, and believed only when every member was read again."""

import errno
import hashlib
import json
import os
import re
import tempfile
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, BinaryIO, Protocol, cast

from walkabout.errors import BadInput, DiskFull

MANIFEST = "manifest.json"
PHOTO = re.compile(r"photos/([0-9a-f]{2})/\1[0-9a-f]{62}(?:\.thumb)?\.jpg")
_PIECE = 1 << 18  # bytes read at a time
_LARGEST_MANIFEST = 64 << 20  # bytes; a line for each of a few hundred thousand photos
_DAMAGE = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, UnicodeError)
_FULL = (errno.ENOSPC, errno.EFBIG, errno.EDQUOT)


def pieces(file: IO[bytes]) -> Iterator[bytes]:
    """What is left of a file, some at a time."""
    return iter(lambda: file.read(_PIECE), b"")


class Writable(Protocol):
    """What a zip needs of a file that it is written to."""

    def write(self, content: bytes, /) -> int:
        """Write bytes; gives how many."""

    def flush(self) -> None:
        """Let nothing wait."""

    def tell(self) -> int:
        """How many bytes were written."""


class BundleWriter:
    """Writes members and remembers the digest of each, for the manifest that comes last.

    Attributes:
        members: SHA-256 in hexadecimal by member name.
    """

    def __init__(self, file: Writable) -> None:
        self._archive = zipfile.ZipFile(cast("BinaryIO", file), "w", allowZip64=True)
        self.members: dict[str, str] = {}

    def __enter__(self) -> "BundleWriter":
        return self

    def __exit__(self, *fault: object) -> None:
        with suppress(OSError, ValueError):  # what broke before is told; this only lets go of the file
            self._archive.close()

    def add(self, name: str, content: Iterable[bytes], *, squeeze: bool = True) -> Iterator[int]:
        """Write one member; gives the bytes of each piece when it is written, so that a caller may send it on.

        Args:
            name: its path in the zip.
            content: its bytes in pieces.
            squeeze: whether to compress it; of no use for pictures.
        """
        about = zipfile.ZipInfo(name)
        about.compress_type = zipfile.ZIP_DEFLATED if squeeze else zipfile.ZIP_STORED
        about.external_attr = 0o600 << 16
        digest = hashlib.sha256()
        with self._archive.open(about, "w", force_zip64=True) as member:
            for piece in content:
                member.write(piece)
                digest.update(piece)
                yield len(piece)
        self.members[name] = digest.hexdigest()

    def close(self, manifest: Mapping[str, Any]) -> None:
        """Write the manifest, to which the digests are added, and end the zip."""
        whole = json.dumps({**manifest, "members": self.members}, indent=1, ensure_ascii=False)
        self._archive.writestr(MANIFEST, whole, zipfile.ZIP_DEFLATED)
        self._archive.close()


@contextmanager
def placed_whole(path: Path) -> Iterator[BinaryIO]:
    """A file to write and to read again; it takes its place, on the disk, only when the block ends well.

    Raises:
        DiskFull: the disk took no more; nothing was placed.
    """
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with plain_when_full(path.parent), os.fdopen(handle, "w+b") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(path)
        sync_folder(path.parent)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


@contextmanager
def plain_when_full(folder: Path) -> Iterator[None]:
    """Say in plain words that the disk is full, whoever finds it out."""
    try:
        yield
    except OSError as error:
        if error.errno in _FULL:
            raise DiskFull(
                f"The disk of {folder} is full. What is recorded is safe; the copy was not finished. "
                "Free some space, or choose another disk."
            ) from error
        raise


def sync_folder(folder: Path) -> None:
    """Let the names in a folder survive a power cut."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@dataclass(frozen=True, slots=True)
class Bundle:
    """An opened zip whose names and manifest make sense; its members are not yet read.

    Attributes:
        where: how to name it to a person.
        manifest: what it says of itself; empty when it has none.
        names: of its members, without the manifest.
    """

    archive: zipfile.ZipFile
    where: str
    manifest: dict[str, Any]
    names: tuple[str, ...]

    def must_be(self, what: str, newest_form: int) -> None:
        """Raises BadInput when it is not what it is taken for, or when a newer program made it."""
        if self.manifest.get("what") != what:
            raise BadInput(f"{self.where} is no {what}. Nothing was written. Choose a file that is one.")
        form = self.manifest.get("form")
        if not isinstance(form, int) or form > newest_form:
            raise BadInput(
                f"{self.where} was made by a newer walkabout. Nothing was written. Install the newer program."
            )

    def read(self, name: str) -> Iterator[bytes]:
        """The bytes of a member, some at a time.

        Raises:
            BadInput: they are not those that were written.
        """
        digest = hashlib.sha256()
        with damage_told(self.where), self.archive.open(name) as member:
            for piece in pieces(member):
                digest.update(piece)
                yield piece
        members = self.manifest.get("members")
        if members is not None and members[name] != digest.hexdigest():
            raise damaged(self.where, f"{name} is not as it was written")

    def digest(self, name: str) -> str:
        """SHA-256 of a member, in hexadecimal.

        Raises:
            BadInput: it is damaged.
        """
        digest = hashlib.sha256()
        for piece in self.read(name):
            digest.update(piece)
        return digest.hexdigest()

    def extract(self, name: str, target: Path) -> None:
        """Write a member to a file, on the disk.

        Raises:
            BadInput: it is damaged.
            DiskFull: it did not fit.
        """
        target.parent.mkdir(parents=True, exist_ok=True)
        with plain_when_full(target.parent), target.open("wb") as file:
            for piece in self.read(name):
                file.write(piece)
            file.flush()
            os.fsync(file.fileno())


@contextmanager
def opened(file: Path | BinaryIO, where: str, own: re.Pattern[str]) -> Iterator[Bundle]:
    """Open a zip and look at its names and manifest.

    Args:
        file: the zip.
        where: how to name it to a person.
        own: what names of members may be, photos apart.

    Raises:
        BadInput: it is no zip, is damaged, or holds what does not belong.
    """
    with damage_told(where), zipfile.ZipFile(file) as archive:
        names = archive.namelist()
        foreign = [
            name for name in names if not (name == MANIFEST or own.fullmatch(name) or PHOTO.fullmatch(name))
        ]
        if foreign or len(set(names)) < len(names):
            raise BadInput(
                f"{where} holds what does not belong in it ({shown(foreign[0]) if foreign else 'a name twice'}). "
                "Nothing was written. Choose another file."
            )
        manifest = _manifest(archive, where) if MANIFEST in names else {}
        members = tuple(name for name in names if name != MANIFEST)
        if manifest and set(manifest["members"]) != set(members):
            odd = min(set(manifest["members"]) ^ set(members))
            raise damaged(where, f"{odd} is missing or was added")
        yield Bundle(archive, where, manifest, members)


@contextmanager
def damage_told(where: str) -> Iterator[None]:
    """Tell whatever a damaged zip makes the library say as one plain line."""
    try:
        yield
    except FileNotFoundError as error:
        raise BadInput(f"There is no file {where}. Look at its name and try again.") from error
    except IsADirectoryError as error:
        raise BadInput(f"{where} is a folder. Choose the zip file.") from error
    except _DAMAGE as error:
        raise damaged(where, "it is cut short, or no zip file") from error


def damaged(where: str, why: str) -> BadInput:
    """The error for a zip that cannot be believed."""
    return BadInput(f"{where} is damaged: {why}. Nothing was written. Take another copy.")


def shown(name: str) -> str:
    """A foreign name, safe to print."""
    return name.encode("ascii", "backslashreplace").decode()[:80]


def _manifest(archive: zipfile.ZipFile, where: str) -> dict[str, Any]:
    if archive.getinfo(MANIFEST).file_size > _LARGEST_MANIFEST:
        raise damaged(where, "its manifest is far too large")
    try:
        manifest: dict[str, Any] = json.loads(archive.read(MANIFEST))
    except ValueError as error:
        raise damaged(where, "its manifest cannot be read") from error
    members = manifest.get("members") if isinstance(manifest, dict) else None
    if not isinstance(members, dict) or not all(isinstance(digest, str) for digest in members.values()):
        raise damaged(where, "its manifest names no members")
    return manifest
