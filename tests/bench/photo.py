"""A photo as a phone sends it, received and kept, against what Pillow needs to open and save it alone."""

from __future__ import annotations

import io
import itertools
import random
from collections.abc import Iterator
from pathlib import Path

from PIL import Image, ImageFilter

from tests.bench.filled import filled
from tests.bench.measure import Figure, by_turns
from walkabout.records.photos import name_of
from walkabout.sync.photographs import MOST_BYTES, take

SIDE = 2048


def seen(side: int, number: int) -> bytes:
    """An invented photo: soft shapes and grain, as of leaves, so that it is as large as a real one."""
    chance = random.Random(number)
    grain = Image.frombytes("RGB", (side // 4, side // 4), chance.randbytes((side // 4) ** 2 * 3))
    image = grain.filter(ImageFilter.GaussianBlur(2)).resize((side, side * 3 // 4), Image.Resampling.BICUBIC)
    file = io.BytesIO()
    image.save(file, "JPEG", quality=85)
    return file.getvalue()


def measured(folder: Path, *, scale: float, full: bool) -> Iterator[Figure]:
    """Yield the figures; `scale` below 1 makes the picture smaller."""
    side = max(64, round(SIDE * scale))
    turns = 15 if full else 5
    numbers = itertools.count()
    fresh = iter([seen(side, next(numbers)) for _ in range(turns + 1)])
    same = seen(side, 0)
    assert len(same) <= MOST_BYTES
    with filled(folder / "photos", 1, 0) as yard:
        keeper = yard.cast.keeper.person
        assert keeper is not None

        def receive() -> None:
            sent = next(fresh)
            assert take(name_of(sent), sent, keeper) == "stored"

        def open_and_save() -> None:
            Image.open(io.BytesIO(same)).convert("RGB").save(io.BytesIO(), "JPEG", quality=86)

        received, alone = by_turns(receive, open_and_save, turns)
    yield Figure(
        f"a photo of {side} px received: made anew, small one, two files, row", received * 1000, "ms"
    )
    yield Figure("the same opened and saved by Pillow alone", alone * 1000, "ms")
    yield Figure("photo road against Pillow alone", received / alone, "x")
