"""The wire cut at byte after byte of request and answer: what was offered is kept once all the same.

Source: common practice, no source; the laws are those of the exchange in DEVELOPERS.md.
"""

from __future__ import annotations

import socket
import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from tests.kills.proxy import Wire
from tests.kills.wire import Line, note
from walkabout.records.database import FILE_NAME

if TYPE_CHECKING:
    from tests.cast import Cast
    from tests.server import Server
    from walkabout.records.plants import Plant

pytestmark = pytest.mark.kills


def _texts(server: Server) -> list[str]:
    with closing(sqlite3.connect(server.folder / FILE_NAME)) as connection:
        rows = connection.execute(
            "SELECT json_extract(details, '$.words') FROM entry WHERE kind = 'note' ORDER BY 1"
        )
        return [text for (text,) in rows]


def _read(connection: socket.socket, count: int) -> int:
    """Read so many bytes; fewer if there are no more."""
    got = 0
    while got < count and (piece := connection.recv(min(count - got, 4096))):
        got += len(piece)
    return got


def test_a_request_cut_at_any_byte_is_kept_once_when_sent_again(
    server: Server, cast: Cast, plant: Plant, full: bool
) -> None:
    line = Line(server, cast.keeper)
    length = len(line.request([note(plant, cast.keeper, "0000")]))
    positions = range(0, length, 1 if full else 3)
    for position in positions:
        request = line.request([note(plant, cast.keeper, f"{position:04}")])
        with line.connect() as connection:
            connection.sendall(request[:position])
        (answer,) = line.offer(request)
        assert answer["word"] == "stored", position
    # All but the last byte is not a request: not one of the cut ones was taken for whole.
    assert _texts(server) == [f"{position:04}" for position in positions]


def test_an_answer_cut_at_any_byte_leaves_the_entry_kept_once(
    server: Server, cast: Cast, plant: Plant, full: bool
) -> None:
    line = Line(server, cast.keeper)
    with line.connect() as connection:
        connection.sendall(line.request([note(plant, cast.keeper, "first")]))
        length = len(Wire(connection).message())
    positions = range(0, length + 1, 1 if full else 3)
    for position in positions:
        request = line.request([note(plant, cast.keeper, f"{position:04}")])
        with line.connect() as connection:
            connection.sendall(request)
            _read(connection, position)
        (answer,) = line.offer(request)
        # Cut before the first byte of the answer, the request may still have been under way.
        assert answer["word"] in ({"here"} if position else {"here", "stored"}), position
    assert _texts(server) == sorted([*(f"{position:04}" for position in positions), "first"])
