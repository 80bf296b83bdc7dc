"""Databases as earlier programs left them, each dumped by the program of its day, opened by this one."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from walkabout.records import plants, soundness, standing_table, stories
from walkabout.records.database import FILE_NAME, close_database, open_database
from walkabout.records.steps import STEPS

FORMS = Path(__file__).parent / "forms"


@pytest.fixture(params=range(1, len(STEPS)))
def old_form(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A data folder whose database has the schema of an earlier number."""
    script = (FORMS / f"schema_{request.param}.sql").read_text(encoding="utf-8")
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as connection:
        connection.executescript(script)
    return tmp_path


def test_an_earlier_form_opens_with_everything_in_it(old_form: Path) -> None:
    with closing(sqlite3.connect(old_form / FILE_NAME)) as connection:
        (before,) = connection.execute("PRAGMA user_version").fetchone()
        held = connection.execute("SELECT id, details, fingerprint FROM entry ORDER BY seq").fetchall()
    open_database(old_form)
    try:
        with closing(sqlite3.connect(old_form / FILE_NAME)) as connection:
            assert connection.execute("PRAGMA user_version").fetchone() == (len(STEPS),)
            assert (
                connection.execute("SELECT id, details, fingerprint FROM entry ORDER BY seq").fetchall()
                == held
            )
        assert before < len(STEPS)
        assert soundness.faults() == []
        apple, lemon = sorted(plants.plants(), key=lambda plant: plant.crop)
        told = stories.story(apple.id, 10)
        assert [(line.entry.kind, line.corrections, line.root_id == line.entry.id) for line in told] == [
            ("harvest", 1, False),
            ("bloom", 0, True),
        ]
        assert told[0].entry.details == {"weight_kg": 4.3}
        assert [line.entry.kind for line in stories.story(lemon.id, 10)] == ["damage"]
    finally:
        close_database()


def test_what_stands_is_the_same_when_it_is_worked_out_anew(old_form: Path) -> None:
    open_database(old_form)
    try:
        apple = min(plants.plants(), key=lambda plant: plant.crop)
        as_brought_up = stories.story(apple.id, 10)
        with closing(sqlite3.connect(old_form / FILE_NAME)) as connection:
            brought_up = connection.execute("SELECT * FROM standing").fetchall()
        standing_table.rebuild_standing()
        assert stories.story(apple.id, 10) == as_brought_up
        with closing(sqlite3.connect(old_form / FILE_NAME)) as connection:
            assert connection.execute("SELECT * FROM standing").fetchall() == brought_up
    finally:
        close_database()
