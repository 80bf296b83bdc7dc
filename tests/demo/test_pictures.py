"""Drawings of the demo: JPEG files of a modest size, the same each time."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from walkabout.demo.pictures import PICTURES, draw
from walkabout.demo.tables import events_table


@pytest.mark.parametrize("name", PICTURES)
def test_a_drawing_is_a_small_picture_and_no_blank_one(name: str) -> None:
    file = draw(name)
    assert file == draw(name)
    assert len(file) < 200_000
    with Image.open(io.BytesIO(file)) as image:
        assert image.format == "JPEG"
        assert image.size == (1280, 960)
        colours = image.resize((64, 48)).getcolors(64 * 48)
    assert colours is not None
    assert len(colours) > 20


def test_every_drawing_has_its_place_in_the_story() -> None:
    freeze = events_table()["freeze"]
    rows = [
        *events_table()["picture"],
        *freeze["look"],
        *freeze["done"],
        *freeze["growth"],
        *events_table()["note"],
    ]
    named = [row.get("drawing") or row.get("picture") for row in rows]
    assert sorted(filter(None, named)) == sorted(PICTURES)
