"""Backups by the clock: when one is due, making it, keeping the right ones, and noting what became of it."""

import logging
import re
import shutil
import threading
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from walkabout.errors import Conflict, DataFolderError, WalkaboutError
from walkabout.jobs.rotation import kept_of
from walkabout.records.backup import Backup, make_backup, must_hold_a_database
from walkabout.records.backup_log import BackupLog, Good, note_failure, note_good, read_log

_log = logging.getLogger(__name__)
FOLDER = "backups"
_NAME = re.compile(r"walkabout-(\d{8}T\d{6})Z\.zip")
_STAMP = "%Y%m%dT%H%M%S"
_AGAIN_AFTER = timedelta(hours=1)
_LEFT_OVER = timedelta(days=1)
_one_at_a_time = threading.Lock()


@dataclass(frozen=True, slots=True)
class Copies:
    """Where the backups of a data folder are kept.

    Attributes:
        data: the data folder.
        folder: the folder of the backups; None for the one inside the data folder.
    """

    data: Path
    folder: Path | None = None

    @property
    def place(self) -> Path:
        """The folder of the backups."""
        return self.folder or self.data / FOLDER

    def on_same_disk(self) -> bool:
        """Whether they lie on the disk of the yard, so that they are lost together."""
        return on_same_disk(self.data, self.place)

    def total_bytes(self) -> int:
        """The size of all that are kept."""
        return sum(path.stat().st_size for path in self._kept().values())

    def count(self) -> int:
        """How many are kept."""
        return len(self._kept())

    def make(self, now: datetime) -> tuple[Path, Backup]:
        """Make a backup, verify it, note it, and take away those that are not to be kept any longer.

        Returns:
            Its path, and what it holds.

        Raises:
            Conflict: one is being made at this moment.
            WalkaboutError, OSError: it failed; that is noted, and no earlier one was touched.
        """
        if not _one_at_a_time.acquire(blocking=False):
            raise Conflict("A backup is being made at this moment. Wait a little, then look again.")
        try:
            return self._make(now)
        finally:
            _one_at_a_time.release()

    def _make(self, now: datetime) -> tuple[Path, Backup]:
        must_hold_a_database(self.data)
        path = self.place / f"walkabout-{now.astimezone(UTC):{_STAMP}}Z.zip"
        try:
            self._must_be_there()
            made = backed_up(self.data, path, now)
        except (WalkaboutError, OSError) as error:
            with suppress(OSError):  # where the disk is full, this may not fit either
                note_failure(self.data, now, one_line(error))
            raise
        self._take_away_old(now)
        return path, made

    def _must_be_there(self) -> None:
        # A folder that was chosen may lie on a disk that is not plugged in; to make it would fill the wrong disk.
        if self.folder is None:
            self.place.mkdir(exist_ok=True)
        elif not self.place.is_dir():
            raise DataFolderError(
                f"The folder for backups, {self.place}, is not there. Plug its disk in, or make the folder."
            )

    def _kept(self) -> dict[datetime, Path]:
        found = {}
        for path in self.place.glob("walkabout-*.zip"):
            if match := _NAME.fullmatch(path.name):
                found[datetime.strptime(match[1], _STAMP).replace(tzinfo=UTC)] = path
        return found

    def _take_away_old(self, now: datetime) -> None:
        """Called only when a newer one has been verified, so the last good one always stays."""
        held = self._kept()
        for moment in held.keys() - kept_of(held):
            held[moment].unlink(missing_ok=True)
        for path in self.place.glob(".walkabout-*"):  # of a process that was killed over one
            if datetime.fromtimestamp(path.stat().st_mtime, UTC) < now - _LEFT_OVER:
                shutil.rmtree(path) if path.is_dir() else path.unlink(missing_ok=True)


@dataclass(slots=True)
class DailyBackup:
    """The job: a backup each day after an hour, and at once when none was ever made.

    Attributes:
        copies: where.
        hour: 0 to 23, in the yard's time.
        timezone: of the yard, IANA name.
    """

    copies: Copies
    hour: int
    timezone: str
    _failed_at: datetime | None = field(default=None, init=False)

    def __call__(self, now: datetime) -> None:
        """Make one if it is due; a failure is logged and tried again in an hour."""
        if self._rests(now) or not self.is_due(now, read_log(self.copies.data)):
            return
        try:
            _, made = self.copies.make(now)
        except Conflict:
            return  # somebody makes one by hand
        except (WalkaboutError, OSError) as error:
            self._failed_at = now
            _log.error("walkabout: The backup failed: %s", one_line(error))
            return
        if made.missing:
            _log.warning(
                "walkabout: The backup lacks %d photo files. Run: walkabout check", len(made.missing)
            )

    def is_due(self, now: datetime, log: BackupLog) -> bool:
        """Whether a backup is to be made now."""
        if log.failure is not None:
            return abs(now - datetime.fromisoformat(log.failure.at)) >= _AGAIN_AFTER
        # One of tomorrow was made by a clock that was wrong, and says nothing.
        return log.good is None or not self._last_turn(now) <= datetime.fromisoformat(log.good.made_at) <= now

    def _rests(self, now: datetime) -> bool:
        """Whether it failed a short while ago; known also when that could not be noted on a full disk."""
        return self._failed_at is not None and abs(now - self._failed_at) < _AGAIN_AFTER

    def _last_turn(self, now: datetime) -> datetime:
        here = now.astimezone(ZoneInfo(self.timezone))
        turn = here.replace(hour=self.hour, minute=0, second=0, microsecond=0)
        return turn if turn <= here else turn - timedelta(days=1)


def backed_up(data: Path, out: Path, now: datetime) -> Backup:
    """Make a backup as a certain file and note it as the last good one.

    Raises:
        WalkaboutError, OSError: it failed; nothing is noted.
    """
    made = make_backup(data, out, now)
    where = out.resolve()
    note_good(data, Good(made.made_at, str(where), where.stat().st_size, made.words(), len(made.missing)))
    return made


def on_same_disk(data: Path, place: Path) -> bool:
    """Whether two folders lie on one disk; True when it cannot be told."""
    try:
        return data.stat().st_dev == place.stat().st_dev
    except OSError:
        return True


def one_line(error: WalkaboutError | OSError) -> str:
    """What failed, in one line."""
    if isinstance(error, WalkaboutError):
        return error.message
    return f"The system refused {error.filename or 'the copy'}: {error.strerror or error}."
