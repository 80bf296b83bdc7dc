"""Everything of a yard in one zip: yard.json with all records, the same as CSV tables, and the photos."""

import json
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from walkabout import __version__
from walkabout.exports.tables import FILES, table_pieces
from walkabout.records.bundle import BundleWriter, Writable, pieces
from walkabout.records.whole import read_whole

WHAT = "walkabout export"
FORM = 1
JSON_NAME = "yard.json"
README_NAME = "README.txt"
_README = """All records of {yard}, written {made_at}.

yard.json      all records, a list for each table; ids are kept
*.csv          the same records as tables for a spreadsheet (UTF-8)
photos/        the photos, named as in photos.csv; .thumb.jpg are small ones
manifest.json  SHA-256 of every file

Weights are kg, lengths m or cm, volumes litres, whatever the pages show. Dates are year-month-day.

In the tables a text that begins with = + - @ or ' has a ' before it, so that no spreadsheet takes it for a formula;
take one ' away to read it. The columns headed "Plant", "Author", "Details: ..." and the like repeat what ids and
details say and are not read back.

Passwords, sign-in links and keys are not in here. "walkabout import all" makes a yard of this file again.
"""

Records = Mapping[str, Sequence[Mapping[str, Any]]]


def export_pieces(folder: Path, now: datetime) -> Iterator[bytes]:
    """The zip, some bytes at a time, so that it needs no room on the disk.

    The records are those of the moment at which the first piece is asked for; photos are never changed or deleted.

    Args:
        folder: the data folder of the open database.
        now: the moment, with its offset.
    """
    pipe = _Pipe()
    for _ in write_export(pipe, folder, now):
        if pipe.held:
            yield pipe.take()
    yield pipe.take()


def write_export(file: Writable, folder: Path, now: datetime) -> Iterator[int]:
    """Write the zip to a file; gives the bytes of each piece of a member when it is written."""
    records = with_details(read_whole())
    made_at = now.isoformat(timespec="seconds")
    with BundleWriter(file) as writer:
        yard = records["yard"][0]["name"]
        yield from writer.add(README_NAME, [_README.format(yard=yard, made_at=made_at).encode()])
        yield from writer.add(JSON_NAME, _json_pieces(records, made_at))
        for table, name in FILES.items():
            yield from writer.add(name, table_pieces(table, records))
        missing: list[str] = []
        for name, _ in photo_names(records):
            try:
                photo = (folder / name).open("rb")
            except OSError:
                missing.append(name)
                continue
            with photo:
                yield from writer.add(name, pieces(photo), squeeze=False)
        counts = {table: len(rows) for table, rows in records.items()}
        about = {"what": WHAT, "form": FORM, "program": __version__, "made_at": made_at, "yard": yard}
        writer.close({**about, "counts": counts, "missing": missing})
    yield 0


def with_details(records: Mapping[str, list[dict[str, Any]]]) -> dict[str, list[dict[str, Any]]]:
    """The records with the details of entries read from their text."""
    told = [{**entry, "details": json.loads(entry["details"])} for entry in records["entry"]]
    return {**records, "entry": told}


def photo_names(records: Records) -> Iterator[tuple[str, str]]:
    """Path and SHA-256 of every file of a photo."""
    for photo in records["photo"]:
        name = photo["hash"]
        yield f"photos/{name[:2]}/{name}.jpg", photo["kept_hash"]
        yield f"photos/{name[:2]}/{name}.thumb.jpg", photo["thumb_hash"]


def _json_pieces(records: Records, made_at: str) -> Iterator[bytes]:
    """One record a line, so that a person can look through it."""
    yield f'{{"form": {FORM}, "made_at": {json.dumps(made_at)}, "records": {{\n'.encode()
    for number, (table, rows) in enumerate(records.items()):
        yield f'{"," * bool(number)}"{table}": [\n'.encode()
        for place, row in enumerate(rows):
            yield ("," * bool(place) + json.dumps(row, ensure_ascii=False) + "\n").encode()
        yield b"]\n"
    yield b"}}\n"


class _Pipe:
    """A file that one can only write to, and from which another takes what was written.

    That there is no going back tells the zip library to write sizes after each member.
    """

    def __init__(self) -> None:
        self.held = bytearray()
        self._written = 0

    def write(self, content: bytes) -> int:
        self.held += content
        self._written += len(content)
        return len(content)

    def tell(self) -> int:
        return self._written

    def flush(self) -> None:
        """Nothing waits."""

    def take(self) -> bytes:
        taken = bytes(self.held)
        self.held.clear()
        return taken
