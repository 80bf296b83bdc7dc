"""Entries offered over a bare socket, byte by byte as the page offers them, for cuts and freezes."""

from __future__ import annotations

import json
import socket
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from tests.cast import DEVICE, NOW, TODAY, new_id
from tests.kills.proxy import Wire

if TYPE_CHECKING:
    from tests.cast import Actor
    from tests.server import Server
    from walkabout.records.plants import Plant


def note(plant: Plant, author: Actor, text: str) -> dict[str, Any]:
    """A note as the phone sends it."""
    assert author.person is not None
    return {
        "id": new_id(),
        "plant": plant.id,
        "kind": "note",
        "seen_on": TODAY.isoformat(),
        "made_at": NOW.isoformat(timespec="milliseconds"),
        "clock_difference": None,
        "details": {"words": text},
        "replaces": None,
        "withdraws": None,
        "author": author.person.id,
        "device": DEVICE,
        "form": 1,
    }


@dataclass(frozen=True)
class Line:
    """A way to a served yard for somebody who is signed in."""

    server: Server
    author: Actor

    def request(self, entries: Sequence[dict[str, Any]]) -> bytes:
        """The bytes of one request with these entries."""
        assert self.author.person is not None
        # The served product knows the cookie of the app in this process: same key, same table of sessions.
        cookie = self.author.client.get_cookie("walkabout")
        assert cookie is not None
        body = json.dumps({"entries": list(entries), "sent_at": NOW.isoformat()}).encode()
        head = (
            "POST /sync/entries HTTP/1.1",
            f"Host: 127.0.0.1:{self.server.port}",
            f"Origin: {self.server.origin}",
            f"Cookie: walkabout={cookie.value}",
            "Content-Type: application/json",
            "X-Walkabout: entries",
            f"X-Walkabout-Person: {self.author.person.id}",
            f"Content-Length: {len(body)}",
        )
        return "\r\n".join(head).encode() + b"\r\n\r\n" + body

    def connect(self) -> socket.socket:
        """A new connection to the server."""
        return socket.create_connection(("127.0.0.1", self.server.port), timeout=30)

    def offer(self, request: bytes) -> list[dict[str, Any]]:
        """Send a request whole; gives the server's word for each entry."""
        with self.connect() as connection:
            connection.sendall(request)
            answer = Wire(connection).message()
        head, _, body = answer.partition(b"\r\n\r\n")
        assert head.startswith(b"HTTP/1.1 200"), answer
        answers: list[dict[str, Any]] = json.loads(body)["answers"]
        return answers
