"""What it costs to bring the pages of a yard of 500 plants onto a phone: bytes on the wire, seconds of the server."""

from __future__ import annotations

import http.client
import json
import os
import time
from collections.abc import Iterator
from pathlib import Path

from tests.bench.filled import fill
from tests.bench.measure import Figure
from tests.cast import NOW, gather
from tests.server import Server
from walkabout.app import create_app
from walkabout.records import yards
from walkabout.records.database import close_database

PLANTS, ENTRIES = 500, 10_000


def processor_seconds(pid: int) -> float:
    """Processor time of a process so far (Linux: proc(5), fields utime and stime of stat)."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def measured(folder: Path, *, scale: float, full: bool) -> Iterator[Figure]:
    """Yield the figures; `scale` below 1 makes the yard smaller."""
    del full
    place = folder / "keep"
    members = fill(place, max(1, round(PLANTS * scale)), round(ENTRIES * scale))
    server = Server(place)
    yards.add_origin(server.origin)
    # The served product knows the cookie of the app in this process: same key, same table of sessions.
    cookie = gather(create_app(place, {"CLOCK": lambda: NOW}), *members).keeper.client.get_cookie("walkabout")
    assert cookie is not None
    close_database()
    server.start()
    line = http.client.HTTPConnection("127.0.0.1", server.port)
    try:
        assert server.process is not None
        headers = {"Cookie": f"walkabout={cookie.value}", "Accept-Encoding": "gzip"}

        def fetch(path: str) -> tuple[bytes, int]:
            line.request("GET", path, headers={**headers, "X-Walkabout": "pages"})
            answer = line.getresponse()
            body = answer.read()
            assert answer.status == 200, f"{path}: {answer.status}"
            # The head as text is what went over the wire, but for the status line.
            return body, len(body) + len(str(answer.headers).encode())

        before, start = processor_seconds(server.process.pid), time.perf_counter()
        line.request("GET", "/sync/pages", headers={"Cookie": headers["Cookie"], "X-Walkabout": "pages"})
        listing = json.loads(line.getresponse().read())
        total = len(json.dumps(listing))
        for page in listing["pages"]:
            total += fetch(page["path"])[1]
        took = time.perf_counter() - start
        busy = processor_seconds(server.process.pid) - before
    finally:
        line.close()
        server.close()
    count = len(listing["pages"])
    yield Figure(f"bytes of {count} pages brought onto a phone", total / 1000, "KB")
    yield Figure(f"server's processor time for {count} pages", busy, "s")
    yield Figure(f"elapsed for {count} pages, one after the other", took, "s")
