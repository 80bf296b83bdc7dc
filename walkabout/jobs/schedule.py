"""The thread that looks now and then whether something is to be done."""

import logging
import threading
from collections.abc import Callable
from datetime import UTC, datetime

_log = logging.getLogger(__name__)
FIRST_LOOK = 15.0  # seconds after the start, so that a start is not slowed
EVERY = 60.0  # seconds
_PATIENCE = 5.0  # seconds that the end of the process waits for a job under way


def system_clock() -> datetime:
    """The system's time, UTC."""
    return datetime.now(UTC)


class Schedule:
    """Runs jobs in a thread of its own until it is stopped.

    Args:
        jobs: each is called with the moment at every look, and decides by itself whether it is due.
        clock: gives the moment, with its offset.
        first: seconds until the first look.
        every: seconds between looks.
    """

    def __init__(
        self,
        *jobs: Callable[[datetime], None],
        clock: Callable[[], datetime] = system_clock,
        first: float = FIRST_LOOK,
        every: float = EVERY,
    ) -> None:
        self._jobs, self._clock, self._first, self._every = jobs, clock, first, every
        self._ended = threading.Event()
        # A daemon: a copy under way must not keep the process from ending, and leaves nothing half behind.
        self._thread = threading.Thread(target=self._run, name="jobs", daemon=True)

    def __enter__(self) -> "Schedule":
        self._thread.start()
        return self

    def __exit__(self, *fault: object) -> None:
        self._ended.set()
        self._thread.join(_PATIENCE)

    def _run(self) -> None:
        pause = self._first
        while not self._ended.wait(pause):
            pause = self._every
            for job in self._jobs:
                try:
                    job(self._clock())
                except Exception:
                    # One job that breaks must not end the others, tonight or tomorrow.
                    _log.exception("walkabout: A job broke; it is tried again")
