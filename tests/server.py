"""The product as a process: ``python -m walkabout serve`` on a port of its own."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from dataclasses import dataclass, field
from pathlib import Path

# A server that has not answered by then never will; a loaded machine of two cores needs a few seconds.
PATIENCE = 60.0


def free_port() -> int:
    """A TCP port of this machine that nobody listens on now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@dataclass
class Server:
    """One served data folder.

    Attributes:
        folder: the data folder; a yard must have been set up in it.
        port: the port; it stays the same over restarts.
        python: the Python whose walkabout is run; that of the tests if not given.
        cwd: where the process is started from.
        log: where the process writes; read it when a test fails.
    """

    folder: Path
    port: int = field(default_factory=free_port)
    python: Path = Path(sys.executable)
    cwd: Path | None = None
    process: subprocess.Popen[bytes] | None = None

    @property
    def origin(self) -> str:
        """Scheme, host and port, as the browser names them."""
        return f"http://127.0.0.1:{self.port}"

    @property
    def log(self) -> Path:
        """What the process printed, over all its starts."""
        return self.folder.parent / f"{self.folder.name}-serve.log"

    def launch(self) -> None:
        """Start the process; do not wait for its first answer."""
        assert self.process is None, "this server runs already"
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                [
                    str(self.python),
                    *["-m", "walkabout", "serve", "--data"],
                    str(self.folder),
                    "--port",
                    str(self.port),
                ],
                cwd=self.cwd,
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                env={**os.environ, "PYTHONUNBUFFERED": "1"},
                start_new_session=True,
            )

    def wait(self) -> None:
        """Return when the server answers; fail with its log when it ended or stays silent."""
        assert self.process is not None
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if self.process.poll() is not None:
                raise AssertionError(f"serve ended with {self.process.returncode}:\n{self.said()}")
            try:
                with socket.create_connection(("127.0.0.1", self.port), timeout=1):
                    break
            except OSError:
                time.sleep(0.02)
        while time.monotonic() < end:
            try:
                urllib.request.urlopen(self.origin + "/", timeout=5).close()
            except urllib.error.HTTPError:
                return  # an answer, whatever it says
            except OSError:
                time.sleep(0.02)
            else:
                return
        raise AssertionError(f"serve did not answer within {PATIENCE:.0f} s:\n{self.said()}")

    def start(self) -> Server:
        """Start the process and wait for its first answer."""
        self.launch()
        self.wait()
        return self

    def said(self) -> str:
        """What the process printed, over all its starts."""
        return self.log.read_text(errors="replace") if self.log.exists() else ""

    def freeze(self) -> None:
        """Stop the process where it stands: it accepts connections and answers nothing."""
        self._signal(signal.SIGSTOP)

    def thaw(self) -> None:
        """Let a frozen process go on."""
        self._signal(signal.SIGCONT)

    def kill(self) -> None:
        """End the process at once, without a chance to tidy up; nobody must own the port after it."""
        self._signal(signal.SIGKILL)
        self._gone()
        with socket.socket() as probe:
            assert probe.connect_ex(("127.0.0.1", self.port)) != 0, "the port belongs to another process"

    def stop(self) -> None:
        """Ask the process to end, and wait until it has."""
        if self.process is None:
            return
        self._signal(signal.SIGCONT)
        self._signal(signal.SIGTERM)
        try:
            self.process.wait(timeout=PATIENCE)
        except subprocess.TimeoutExpired:
            self.kill()
            raise AssertionError(f"serve did not end when asked to:\n{self.said()}") from None
        self._gone()

    def close(self) -> None:
        """End the process in any way; for the end of a test."""
        if self.process is not None:
            self.kill()

    def _signal(self, number: int) -> None:
        assert self.process is not None, "this server does not run"
        if self.process.poll() is None:
            os.kill(self.process.pid, number)

    def _gone(self) -> None:
        assert self.process is not None
        self.process.wait()
        self.process = None
