"""The plant page against rendering its template from values that are ready, and how many queries it makes."""

from __future__ import annotations

import gzip
import html
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from flask import template_rendered

from tests.bench.filled import Filled, filled
from tests.bench.measure import Figure, middle
from walkabout.records.database import database

if TYPE_CHECKING:
    from flask import Flask
    from jinja2 import Template

SIZES = (0, 50, 2000)


@contextmanager
def queries() -> Iterator[list[str]]:
    """Gather the SQL that this thread's connection runs."""
    seen: list[str] = []
    connection: Any = database.connection()
    connection.set_trace_callback(seen.append)
    try:
        yield seen
    finally:
        connection.set_trace_callback(None)


def rendered(yard: Filled, address: str) -> tuple[Template, dict[str, Any]]:
    """The template that a page draws, and the values it draws it from."""
    caught: list[tuple[Template, dict[str, Any]]] = []

    def catch(_app: Flask, template: Template, context: dict[str, Any], **_: object) -> None:
        caught.append((template, context))

    with template_rendered.connected_to(catch, yard.app):
        yard.page(address)
    return caught[-1]


def story_parts(yard: Filled, address: str) -> list[str]:
    """The addresses of the whole story, as one reads on from its newest lines to its oldest."""
    parts = [f"{address}/story"]
    while onward := re.search(
        r'href="([^"]*/story\?before=[^"]*)"', gzip.decompress(yard.page(parts[-1]).data).decode()
    ):
        parts.append(html.unescape(onward[1]))
    return parts


def measured(folder: Path, *, scale: float, full: bool) -> Iterator[Figure]:
    """Yield the figures; `scale` below 1 makes the work smaller."""
    turns = 60 if full else 25
    for size in SIZES:
        entries = round(size * scale)
        with filled(folder / f"page-{size}", 1, entries) as yard:
            address = f"/plants/{yard.plants[0].id}"
            template, context = rendered(yard, address)
            with queries() as seen:
                yard.page(address)
            page = middle(lambda yard=yard, address=address: yard.page(address), turns)
            cookie = yard.cast.keeper.client.get_cookie("walkabout")
            assert cookie is not None
            with yard.app.test_request_context(address, headers={"Cookie": f"walkabout={cookie.value}"}):
                alone = middle(lambda template=template, context=context: template.render(context), turns)
            if size == max(SIZES):
                parts = story_parts(yard, address)
                times = [middle(lambda yard=yard, part=part: yard.page(part), turns // 5) for part in parts]
        yield Figure(f"plant page with {entries} entries", page * 1000, "ms")
        yield Figure(f"its template alone, {entries} entries", alone * 1000, "ms")
        yield Figure(f"plant page against its template, {entries} entries", page / alone, "x", goal=3)
        yield Figure(f"queries of the plant page, {entries} entries", len(seen), "queries", goal=12)
    yield Figure(f"the whole story of {entries} entries, its first part", times[0] * 1000, "ms")
    yield Figure(f"its last of {len(parts)} parts against the first", times[-1] / times[0], "x")
