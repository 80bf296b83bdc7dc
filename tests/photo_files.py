"""Photos as the records keep them, without pictures: bytes that stand for them, where only digests are looked at."""

from __future__ import annotations

import hashlib
from pathlib import Path

from walkabout.records import models
from walkabout.records.database import writing
from walkabout.records.people import Person


def lay_photo(folder: Path, author: Person, content: bytes, received_at: str | None = None) -> str:
    """Record a photo: the files first, on the disk, then the row. Gives its name, the hash of what was sent."""
    kept, thumb = b"kept " + content, b"thumb " + content[:999]
    name, *digests = (hashlib.sha256(one).hexdigest() for one in (content, kept, thumb))
    place = folder / "photos" / name[:2]
    place.mkdir(parents=True, exist_ok=True)
    (place / f"{name}.jpg").write_bytes(kept)
    (place / f"{name}.thumb.jpg").write_bytes(thumb)
    with writing() as ledger:
        models.Photo.create(
            hash=name,
            kept_hash=digests[0],
            thumb_hash=digests[1],
            width=8,
            height=6,
            bytes=len(kept),
            author_id=author.id,
            received_at=received_at or ledger.now,
        )
        ledger.changed("photo", name)
    return name


def photo_files(folder: Path) -> dict[str, bytes]:
    """Every file of a photo in a data folder, by its path there."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.glob("photos/*/*")}
