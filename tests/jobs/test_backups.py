"""The daily backup: when it is due, what stays, what is told, and that it runs without a visitor."""

from __future__ import annotations

import logging
import os
import threading
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from tests.server import Server
from walkabout.errors import BadInput, Conflict, DataFolderError
from walkabout.jobs import backups
from walkabout.jobs.backups import Copies, DailyBackup
from walkabout.jobs.schedule import Schedule
from walkabout.records.backup import verified
from walkabout.records.backup_log import BackupLog, Failure, Good, read_log, warning
from walkabout.records.plants import Plant

ZONE = "America/New_York"
NIGHT = datetime(2026, 11, 25, 8, tzinfo=UTC)  # 3 o'clock there


def good(made_at: datetime) -> BackupLog:
    return BackupLog(Good(made_at.isoformat(), "x.zip", 1, "", 0))


@pytest.fixture
def job(yard: Path, plant: Plant) -> DailyBackup:
    """The job of the invented yard, at 3 o'clock."""
    return DailyBackup(Copies(yard), 3, ZONE)


def kept(job: DailyBackup) -> list[str]:
    return sorted(path.name for path in job.copies.place.iterdir())


@pytest.mark.parametrize(
    ("now", "last", "due"),
    [
        (NIGHT, NIGHT - timedelta(days=1), True),
        (NIGHT - timedelta(minutes=1), NIGHT - timedelta(days=1), False),
        (NIGHT + timedelta(hours=9), NIGHT, False),
        (NIGHT + timedelta(hours=9), NIGHT - timedelta(minutes=1), True),  # the machine was off at 3
        (NIGHT + timedelta(hours=9), NIGHT + timedelta(hours=5), False),  # made by hand since
        (NIGHT, NIGHT + timedelta(days=900), True),  # made by a clock that was wrong
    ],
)
def test_when_it_is_due(job: DailyBackup, now: datetime, last: datetime, due: bool) -> None:
    assert job.is_due(now, good(last)) is due


def test_the_hour_is_that_of_the_yard_in_summer_too(job: DailyBackup) -> None:
    # New York is UTC-4 in July and UTC-5 in November (IANA time zone database).
    yesterday = good(datetime(2026, 7, 14, 7, tzinfo=UTC))
    assert not job.is_due(datetime(2026, 7, 15, 6, 59, tzinfo=UTC), yesterday)
    assert job.is_due(datetime(2026, 7, 15, 7, 0, tzinfo=UTC), yesterday)


def test_the_first_is_made_at_once_and_one_that_failed_is_tried_again_in_an_hour(job: DailyBackup) -> None:
    assert job.is_due(NIGHT + timedelta(hours=7), BackupLog())
    failed = BackupLog(good(NIGHT).good, Failure(NIGHT.isoformat(), "The disk is full."))
    assert not job.is_due(NIGHT + timedelta(minutes=59), failed)
    assert job.is_due(NIGHT + timedelta(minutes=60), failed)


def test_a_month_of_nights(job: DailyBackup, yard: Path) -> None:
    for night in range(31):
        for hour in (0, 1, 12):
            job(NIGHT + timedelta(days=night, hours=hour))
    names = kept(job)
    assert names[-1] == "walkabout-20261225T080000Z.zip"
    assert len(names) == len(set(names)) <= 7 + 4 + 12
    assert "walkabout-20261130T080000Z.zip" in names, "the last of November"
    for name in names:
        assert verified(job.copies.place / name, name).counts["plant"] == 1
    log = read_log(yard)
    assert log.failure is None
    assert log.good is not None
    assert log.good.made_at == (NIGHT + timedelta(days=30)).isoformat()
    assert Path(log.good.path) == job.copies.place / names[-1]
    assert log.good.bytes == Path(log.good.path).stat().st_size


def test_only_its_own_copies_are_taken_away(job: DailyBackup, yard: Path) -> None:
    job.copies.place.mkdir()
    mine = job.copies.place / "walkabout-of-2019.zip"
    mine.write_bytes(b"mine")
    half = job.copies.place / ".walkabout-20260101T080000Z.zip.half"
    half.write_bytes(b"of a process that was killed")
    os.utime(half, (NIGHT.timestamp() - 90_000,) * 2)
    fresh = job.copies.place / ".walkabout-20261125T080000Z.zip.half"
    fresh.write_bytes(b"of another process, at work")
    os.utime(fresh, (NIGHT.timestamp(),) * 2)
    for night in range(60):
        job(NIGHT + timedelta(days=night))
        os.utime(fresh, (NIGHT.timestamp() + night * 86400,) * 2)
    assert mine.read_bytes() == b"mine"
    assert fresh.exists()
    assert not half.exists()


def test_a_failure_is_logged_noted_and_takes_nothing_away(
    job: DailyBackup, yard: Path, caplog: pytest.LogCaptureFixture
) -> None:
    job(NIGHT)
    before = kept(job)
    database = yard / "walkabout.sqlite3"
    whole = database.read_bytes()
    for night in range(1, 40):
        database.write_bytes(whole[:3000])
        job(NIGHT + timedelta(days=night))
        database.write_bytes(whole)
    assert kept(job) == before
    assert "The backup failed" in caplog.text
    log = read_log(yard)
    assert log.good is not None
    assert log.good.made_at == NIGHT.isoformat()
    assert log.failure is not None
    found = warning(yard, date(2026, 11, 25))
    assert found is not None
    assert found.kind == "failed"
    job(NIGHT + timedelta(days=41))
    assert warning(yard, (NIGHT + timedelta(days=41)).date()) is None
    assert len(kept(job)) == 2


def test_an_old_one_is_warned_of(job: DailyBackup, yard: Path) -> None:
    assert warning(yard, NIGHT.date()) is None, "nothing was ever tried"
    job(NIGHT)
    assert warning(yard, NIGHT.date() + timedelta(days=3)) is None
    old = warning(yard, NIGHT.date() + timedelta(days=4))
    assert old is not None
    assert old.kind == "old"


def test_a_chosen_folder_that_is_not_there_is_not_made(yard: Path, plant: Plant, tmp_path: Path) -> None:
    copies = Copies(yard, tmp_path / "usb" / "backups")
    with pytest.raises(DataFolderError, match="Plug its disk in"):
        copies.make(NIGHT)
    assert not (tmp_path / "usb").exists()
    failure = read_log(yard).failure
    assert failure is not None
    assert "Plug its disk in" in failure.why
    copies.place.mkdir(parents=True)
    path, made = copies.make(NIGHT)
    assert path.parent == copies.place
    assert made.words() == "plants: 1, entries: 0, photos: 0"


def test_two_at_once_make_one(yard: Path, plant: Plant, monkeypatch: pytest.MonkeyPatch) -> None:
    begun, go_on = threading.Event(), threading.Event()
    make = backups.make_backup

    def slow(*given: object) -> object:
        begun.set()
        assert go_on.wait(30)
        return make(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(backups, "make_backup", slow)
    first = threading.Thread(target=Copies(yard).make, args=(NIGHT,))
    first.start()
    try:
        assert begun.wait(30)
        with pytest.raises(Conflict, match="at this moment"):
            Copies(yard).make(NIGHT)
    finally:
        go_on.set()
        first.join()
    assert Copies(yard).count() == 1


def test_a_log_that_cannot_be_read_is_as_none(yard: Path) -> None:
    for text in ("", "{", "[]", '{"good": {"x": 1}, "failure": null}', '{"good": 3}'):
        (yard / "backups.json").write_text(text)
        assert read_log(yard) == BackupLog()


def test_a_job_that_breaks_does_not_end_the_others(caplog: pytest.LogCaptureFixture) -> None:
    looks: list[datetime] = []
    twice = threading.Event()

    def broken(now: datetime) -> None:
        raise BadInput("broken")

    def counting(now: datetime) -> None:
        looks.append(now)
        if len(looks) == 2:
            twice.set()

    with caplog.at_level(logging.ERROR), Schedule(broken, counting, clock=lambda: NIGHT, first=0, every=0):
        assert twice.wait(30)
    assert looks[:2] == [NIGHT, NIGHT]
    assert "A job broke" in caplog.text


def test_the_thread_makes_the_backup_that_the_clock_asks_for(job: DailyBackup, yard: Path) -> None:
    done: list[datetime] = []
    third = threading.Event()
    nights = iter(range(10_000))

    def clock() -> datetime:
        now = NIGHT + timedelta(days=next(nights))
        done.append(now)
        if len(done) == 4:
            third.set()
        return now

    with Schedule(job, clock=clock, first=0, every=0):
        assert third.wait(60)
    assert {f"walkabout-202611{day}T080000Z.zip" for day in (25, 26, 27)} <= set(kept(job))


def test_serve_backs_up_without_a_visitor(
    server: Server, yard: Path, make_plant: Callable[..., Plant]
) -> None:
    make_plant("Corner apple", "apple")
    ended, waited = threading.Event(), 0
    while read_log(yard).good is None and waited < 600:  # the first look comes after some seconds
        ended.wait(0.1)
        waited += 1
    log = read_log(yard)
    assert log.good is not None, server.said()
    assert log.failure is None
    assert verified(Path(log.good.path), "x").counts["plant"] == 1
    server.stop()
    assert list((yard / "backups").iterdir()) == [Path(log.good.path)]
