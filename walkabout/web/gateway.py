"""What the app needs of the server in front of it."""

from collections.abc import Iterable, Iterator
from typing import Any

from werkzeug.wsgi import ClosingIterator


def answer_even_empty(wsgi_app: Any) -> Any:
    """Let answers without a body (304, HEAD) be sent.

    hypercorn 0.18 sends status and headers with the first piece of the body, so an answer of no pieces at all
    became its own empty error 500.
    """

    def app(environ: Any, start_response: Any) -> ClosingIterator:
        body = wsgi_app(environ, start_response)
        return ClosingIterator(_one_piece_at_least(body), [getattr(body, "close", lambda: None)])

    return app


def _one_piece_at_least(body: Iterable[bytes]) -> Iterator[bytes]:
    empty = True
    for piece in body:
        empty = False
        yield piece
    if empty:
        yield b""
