"""A TCP proxy between the phone and the server that can cut, hold and watch single exchanges.

It stands outside the product: phone and server are the real ones, only the wire between them is ours.
"""

from __future__ import annotations

import contextlib
import json
import socket
import threading
from collections.abc import Callable
from dataclasses import dataclass, field

from tests.server import free_port

END_OF_HEAD = b"\r\n\r\n"
# Longer than the phone waits for an answer, so that it is never the proxy that gives up first.
SILENCE = 120.0


class WireCutError(Exception):
    """The connection ends here, on both sides."""


class Wire:
    """One side of the proxy: a socket from which whole HTTP/1.1 messages are read."""

    def __init__(self, connection: socket.socket) -> None:
        self.connection = connection
        self.connection.settimeout(SILENCE)
        self._rest = b""

    def _more(self) -> None:
        try:
            piece = self.connection.recv(65536)
        except OSError as error:
            raise WireCutError from error
        if not piece:
            raise WireCutError
        self._rest += piece

    def message(self, *, without_body: bool = False) -> bytes:
        """The next whole message (RFC 9112 section 6: by Content-Length, or chunked), as it came."""
        while END_OF_HEAD not in self._rest:
            self._more()
        head, _, _ = self._rest.partition(END_OF_HEAD)
        length = len(head) + len(END_OF_HEAD)
        fields = dict(line.lower().split(b":", 1) for line in head.split(b"\r\n")[1:])
        if fields.get(b"transfer-encoding", b"").strip() == b"chunked":
            while (end := self._rest.find(b"0\r\n\r\n", length)) < 0:
                self._more()
            length = end + 5
        elif not without_body:
            length += int(fields.get(b"content-length", b"0"))
            while len(self._rest) < length:
                self._more()
        whole, self._rest = self._rest[:length], self._rest[length:]
        return whole

    def answer_began(self) -> bool:
        """True when a byte has come that was not read; false when the other side is gone without one."""
        if self._rest:
            return True
        try:
            return bool(self.connection.recv(1, socket.MSG_PEEK))
        except OSError:
            return False

    def send(self, data: bytes) -> None:
        """Send all of it."""
        try:
            self.connection.sendall(data)
        except OSError as error:
            raise WireCutError from error


@dataclass
class Exchange:
    """One request of the phone, whole, that has not been passed on yet."""

    request: bytes
    phone: Wire
    server: Wire

    @property
    def line(self) -> str:
        """Method and address."""
        return self.request.split(b" HTTP/1.1", 1)[0].decode()

    def answer(self) -> bytes:
        """Wait for the server's whole answer."""
        bare = self.request.startswith(b"HEAD ")
        whole = self.server.message(without_body=bare)
        # RFC 9110 section 15.2: interim answers come before the final one.
        while whole.startswith(b"HTTP/1.1 1"):
            whole = self.server.message(without_body=bare)
        return whole

    @property
    def entries(self) -> int:
        """How many entries the phone offers; none is a greeting."""
        return len(json.loads(self.request.partition(END_OF_HEAD)[2])["entries"])

    def cut_request(self, position: int) -> None:
        """Let so many bytes of the request through, then cut both sides."""
        self.server.send(self.request[:position])
        raise WireCutError

    def cut_answer(self, share: float, *, rudely: bool) -> None:
        """Let the request through and so great a share of the answer, then cut: with a reset if rudely."""
        self.server.send(self.request)
        answer = self.answer()
        self.phone.send(answer[: int(share * len(answer))])
        if not rudely:
            self.phone.connection.shutdown(socket.SHUT_WR)
        raise WireCutError

    def pass_on(self) -> None:
        """Do what a wire does: the request there, the answer back."""
        self.server.send(self.request)
        self.phone.send(self.answer())


@dataclass
class Proxy:
    """Listens on ``port`` and passes on to ``server_port``; ``policy`` handles each POST of entries."""

    server_port: int
    policy: Callable[[Exchange], None] = Exchange.pass_on
    port: int = field(default_factory=free_port)
    connections: list[socket.socket] = field(default_factory=list)

    @property
    def origin(self) -> str:
        """Scheme, host and port, as the browser names them."""
        return f"http://127.0.0.1:{self.port}"

    def __enter__(self) -> Proxy:
        self._listener = socket.create_server(("127.0.0.1", self.port), backlog=128)
        self._thread = threading.Thread(target=self._listen, daemon=True)
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        with contextlib.suppress(OSError):
            self._listener.shutdown(socket.SHUT_RDWR)
        self._listener.close()
        for connection in self.connections:
            connection.close()
        self._thread.join(timeout=5)

    def _listen(self) -> None:
        while True:
            try:
                connection, _ = self._listener.accept()
            except OSError:
                return
            threading.Thread(target=self._serve, args=(connection,), daemon=True).start()

    def _serve(self, connection: socket.socket) -> None:
        # Closing resets the connection: no polite end, as when a radio link drops.
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\x01\0\0\0\0\0\0\0")
        self.connections.append(connection)
        phone = Wire(connection)
        upstream: socket.socket | None = None
        try:
            while True:
                request = phone.message()
                if upstream is None:
                    upstream = socket.create_connection(("127.0.0.1", self.server_port), timeout=SILENCE)
                    server = Wire(upstream)
                exchange = Exchange(request, phone, server)
                if exchange.line.startswith("POST /sync/entries"):
                    self.policy(exchange)
                else:
                    exchange.pass_on()
        except (WireCutError, OSError):
            pass
        finally:
            connection.close()
            if upstream is not None:
                upstream.close()
