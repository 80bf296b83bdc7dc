"""``demo``: an invented yard that anybody at this machine can look round in, and nobody else."""

from __future__ import annotations

import http.cookiejar
import re
import signal
import socket
import subprocess
import time
import urllib.parse
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from tests.cli.conftest import Run, refused
from tests.cli.process import command, environment, run_process, says_one_line
from tests.server import free_port
from walkabout.demo.tables import demo_plants
from walkabout.records.database import open_database
from walkabout.records.entries import count_entries
from walkabout.records.photo_faults import photo_faults
from walkabout.records.yards import database_id, origins, the_yard

_LINK = re.compile(r"http://127\.0\.0\.1:\d+/enter/\S+")


class Demo:
    """A running demo."""

    def __init__(self, folder: Path, *options: str) -> None:
        self.port = free_port()
        self.process = subprocess.Popen(
            command("demo", "--folder", folder, "--port", str(self.port), *options),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            env=environment(),
        )
        self.said = ""

    def link(self) -> str:
        """The link that it shows."""
        assert self.process.stdout is not None
        end = time.monotonic() + 60
        while time.monotonic() < end:
            line = self.process.stdout.readline()
            self.said += line
            if found := _LINK.search(line):
                return found[0]
            assert line, f"the demo ended:\n{self.said}"
        raise AssertionError(f"no link was shown:\n{self.said}")

    def end(self) -> int:
        """Ask it to end; gives its exit code."""
        self.process.send_signal(signal.SIGINT)
        assert self.process.stdout is not None
        self.said += self.process.stdout.read()
        return self.process.wait(timeout=30)


def picture_of(said: str) -> Image.Image:
    """The blocks of the terminal as a camera sees them: a full block is light, its ground dark."""
    rows = [line for line in said.splitlines() if line and set(line) <= set(" \u00a0▀▄█")]
    picture = Image.new("1", (max(map(len, rows)), 2 * len(rows)))
    for y, row in enumerate(rows):
        for x, block in enumerate(row):
            picture.putpixel((x, 2 * y), block in "▀█")
            picture.putpixel((x, 2 * y + 1), block in "▄█")
    return picture.resize((picture.width * 8, picture.height * 8)).convert("L")


@pytest.fixture
def demo(tmp_path: Path) -> Iterator[Demo]:
    """A demo in a folder of its own."""
    running = Demo(tmp_path / "demo")
    yield running
    if running.process.poll() is None:
        running.process.kill()
    running.process.communicate()


class Browser:
    """Opens addresses and presses the one button of a form, with cookies."""

    def __init__(self) -> None:
        self._opener = urllib.request.build_opener(
            urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar())
        )

    def open(self, address: str, fields: dict[str, str] | None = None) -> str:
        """The page at an address, asked for or posted to."""
        data = urllib.parse.urlencode(fields).encode() if fields is not None else None
        with self._opener.open(address, data=data, timeout=20) as answer:
            return str(answer.read().decode())

    def enter(self, link: str) -> str:
        """Come in by a one-time link; gives the page one lands on."""
        token = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', self.open(link))
        assert token is not None
        return self.open(link, {"csrf_token": token[1]})


def test_the_link_lets_in_once(demo: Demo) -> None:
    link = demo.link()
    page = Browser().enter(link)
    for plant in demo_plants():
        if plant.state == "growing" and not plant.merged_into:
            assert plant.name in page
    with pytest.raises((urllib.error.HTTPError, AssertionError)):
        Browser().enter(link)
    assert demo.end() == 0
    (read,) = zxingcpp.read_barcodes(picture_of(demo.said))
    assert read.text == link


def test_only_this_machine_can_reach_it(demo: Demo) -> None:
    demo.link()
    socket.create_connection(("127.0.0.1", demo.port), timeout=5).close()
    # Every 127.x address is this machine's (RFC 1122, 3.2.1.3): one that listened everywhere would answer here too.
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.2", demo.port), timeout=5)


def test_it_is_built_once_and_anew_when_asked(demo: Demo, tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    demo.link()
    assert demo.end() == 0
    open_database(folder)
    first, entries = database_id(), count_entries()
    assert entries > 2000
    assert photo_faults() == []
    assert len(list((folder / "photos").rglob("*.thumb.jpg"))) >= 8
    assert f"http://127.0.0.1:{demo.port}" == origins()[0]
    for options, same in (((), True), (("--fresh",), False)):
        again = Demo(folder, *options)
        try:
            Browser().enter(again.link())
            assert again.end() == 0
        finally:
            again.process.kill()
            again.process.communicate()
        open_database(folder)
        assert (database_id() == first) is same
        assert f"http://127.0.0.1:{again.port}" in origins()
        assert run_process("check", "--data", folder).returncode == 0


def test_a_yard_of_ones_own_is_never_touched(run: Run, set_up: Path) -> None:
    open_database(set_up)
    before = database_id()
    for options in ((), ("--fresh",)):
        refused(run("demo", "--folder", str(set_up), *options), code=1, says="holds a yard that is no demo")
    open_database(set_up)
    assert (database_id(), the_yard().name) == (before, "Long Meadow")


def test_busy_port_and_folder_in_use(demo: Demo, tmp_path: Path) -> None:
    demo.link()
    taken = run_process("demo", "--folder", tmp_path / "other", "--port", str(demo.port))
    says_one_line(taken, code=2, says=f"Port {demo.port} is taken")
    held = run_process("demo", "--folder", tmp_path / "demo", "--port", str(free_port()), "--fresh")
    says_one_line(held, code=1, says="is served already by process")
    assert Browser().open(f"http://127.0.0.1:{demo.port}/sign-in")


def test_a_folder_that_cannot_be(run: Run, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    refused(run("demo", "--folder", str(tmp_path / "file" / "demo")), code=1, says="cannot be made")
