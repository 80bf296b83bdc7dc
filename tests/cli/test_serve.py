"""``serve``: one process for a folder and a port, gone without trace when it is killed."""

from __future__ import annotations

import os
import signal
import socket
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.cli.conftest import INIT, Run, refused
from tests.cli.process import run_process, says_one_line
from tests.server import Server, free_port
from walkabout.cli.serve import origin_remarks


@pytest.fixture
def served(run: Run, data: Path) -> Iterator[Server]:
    """A served yard, set up by the command for the port that it is served on."""
    server = Server(data)
    result = run(*(server.origin if part == "http://localhost:8480" else part for part in INIT))
    assert result.exit_code == 0, result.output
    server.start()
    yield server
    server.close()


def test_it_says_one_line_with_the_address_and_answers(served: Server) -> None:
    with urllib.request.urlopen(served.origin + "/sign-in", timeout=10) as answer:
        assert answer.status == 200
    assert served.said() == f"Long Meadow is served at {served.origin} (Ctrl-C ends it)\n"


def test_a_second_one_is_told_who_holds_the_folder(served: Server) -> None:
    assert served.process is not None
    second = run_process("serve", "--data", served.folder, "--port", str(free_port()))
    says_one_line(
        second, code=1, says=f"is served already by process {served.process.pid} at {served.origin}."
    )
    urllib.request.urlopen(served.origin + "/sign-in", timeout=10).close()


def test_other_commands_work_beside_it(served: Server) -> None:
    ended = run_process("check", "--data", served.folder)
    assert ended.returncode == 0, ended.stderr


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_it_ends_in_good_order_when_asked_to(served: Server, number: int) -> None:
    assert served.process is not None
    os.kill(served.process.pid, number)
    assert served.process.wait(timeout=30) == 0
    assert served.said().count("\n") == 1
    # SQLite takes its log away when the last connection closes in good order.
    assert sorted(path.name for path in served.folder.iterdir()) == ["serve.lock", "walkabout.sqlite3"]
    served.process = None


def test_killed_it_hinders_nothing(served: Server) -> None:
    for _ in range(3):
        served.kill()
        served.start()
    with urllib.request.urlopen(served.origin + "/sign-in", timeout=10) as answer:
        assert answer.status == 200


def test_a_busy_port(run: Run, set_up: Path) -> None:
    with socket.socket() as holder:
        holder.bind(("127.0.0.1", 0))
        holder.listen()
        port = holder.getsockname()[1]
        refused(
            run("serve", "--port", str(port)),
            code=2,
            says=f"Port {port} is taken by another program. End that",
        )
    assert not (set_up / "serving.txt").exists()


@pytest.mark.parametrize("host", ["no.such.host.invalid", "203.0.113.9"])
def test_a_host_that_is_not_this_machine(run: Run, set_up: Path, host: str) -> None:
    # .invalid never resolves (RFC 2606); 203.0.113.0/24 is for documentation only (RFC 5737).
    refused(run("serve", "--host", host), code=2, says=f'"{host}" is no address of this machine')


@pytest.mark.parametrize("port", ["0", "65536", "web"])
def test_what_is_no_port(run: Run, set_up: Path, port: str) -> None:
    refused(run("serve", "--port", port), code=2, says="Invalid value for '--port'")


def test_a_port_from_the_environment_that_is_none(
    run: Run, set_up: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("WALKABOUT_PORT", "web")
    refused(run("serve"), code=2, says="WALKABOUT_PORT cannot be used")


def test_no_yard(run: Run, data: Path) -> None:
    refused(run("serve"), code=1, says="There is no yard in")
    assert not data.exists()


def test_a_port_that_does_not_fit_the_recorded_address_is_remarked(served: Server) -> None:
    served.stop()
    said_before = served.said()
    other = Server(served.folder, port=free_port())
    other.start()
    try:
        remark, address, rest = other.said().removeprefix(said_before).split("\n")
    finally:
        other.close()
    assert remark.startswith(
        f"walkabout: The yard's recorded address is {served.origin}, but this is port {other.port}."
    )
    assert remark.endswith(f"Serve with --port {served.port} instead.")
    assert address.startswith(f"Long Meadow is served at {other.origin}")
    assert rest == ""


@pytest.mark.parametrize(
    ("recorded", "port", "fits"),
    [
        (("http://localhost:8480",), 8480, True),
        (("http://localhost",), 80, True),
        (("http://localhost",), 8480, False),
        (("http://a:1", "http://b:2"), 2, True),
        (("https://yard.example",), 8480, True),  # another program stands in front
    ],
)
def test_which_ports_fit(recorded: tuple[str, ...], port: int, fits: bool) -> None:
    assert (origin_remarks(recorded, port) == []) is fits
