"""What became of the backups: a small file in the data folder, so that it can be told when the database cannot."""

import json
import os
from dataclasses import asdict, dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

LOG_NAME = "backups.json"
OLD_AFTER = 3  # days; one missed night may be a machine that was off


@dataclass(frozen=True, slots=True)
class Good:
    """The last backup that was read again and found whole.

    Attributes:
        made_at: ISO 8601 with offset.
        path: of the zip.
        bytes: its size.
        holds: what it holds, in a few words.
        missing: how many photo files it could not hold, because they were lost or spoilt before.
    """

    made_at: str
    path: str
    bytes: int
    holds: str
    missing: int


@dataclass(frozen=True, slots=True)
class Failure:
    """A try since then that failed. `why` is one line that says what to do."""

    at: str
    why: str


@dataclass(frozen=True, slots=True)
class BackupLog:
    """What is known of the backups of one data folder."""

    good: Good | None = None
    failure: Failure | None = None


@dataclass(frozen=True, slots=True)
class Warned:
    """Why the owner should look after the backups. `kind` is "failed" or "old"."""

    kind: str
    log: BackupLog

    @property
    def sign(self) -> str:
        """Another text whenever the warning says something else; pages that show it count it in their version."""
        return f"{self.kind}-{self.log.good and self.log.good.made_at}-{self.log.failure and self.log.failure.at}"


def read_log(folder: Path) -> BackupLog:
    """The log of a data folder; an empty one when there is none or it cannot be read."""
    try:
        held = json.loads((folder / LOG_NAME).read_text(encoding="utf-8"))
        return BackupLog(
            Good(**held["good"]) if held["good"] else None,
            Failure(**held["failure"]) if held["failure"] else None,
        )
    except (OSError, ValueError, TypeError, KeyError):
        return BackupLog()


def note_good(folder: Path, good: Good) -> None:
    """Note a good backup; failures before it count no more."""
    _write(folder, BackupLog(good))


def note_failure(folder: Path, at: datetime, why: str) -> None:
    """Note that a try failed; the last good one stays noted."""
    failure = Failure(at.isoformat(timespec="seconds"), why)
    _write(folder, BackupLog(read_log(folder).good, failure))


def warning(folder: Path, today: date) -> Warned | None:
    """What the owner should be told on a day, or None.

    A yard for which no backup was ever tried is not warned of: where nothing runs, nothing is promised.
    """
    log = read_log(folder)
    if log.failure is not None:
        return Warned("failed", log)
    if log.good is not None and (today - datetime.fromisoformat(log.good.made_at).date()).days > OLD_AFTER:
        return Warned("old", log)
    return None


def _write(folder: Path, log: BackupLog) -> None:
    held: dict[str, Any] = asdict(log)
    new = folder / f".{LOG_NAME}.{os.getpid()}"
    try:
        new.write_text(json.dumps(held, ensure_ascii=False, indent=1), encoding="utf-8")
        new.replace(folder / LOG_NAME)
    finally:
        new.unlink(missing_ok=True)
