"""The numbered schema steps."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from walkabout.errors import DataFolderError, SchemaTooNew
from walkabout.records import models
from walkabout.records.database import FILE_NAME, close_database, database, open_database
from walkabout.records.schema import bring_up_to_date
from walkabout.records.steps import STEPS

ONE_MORE = (*STEPS, ("ALTER TABLE yard ADD COLUMN soil TEXT", "CREATE TABLE row_of_step (id INTEGER)"))


def test_the_tables_are_as_the_models_say(folder: Path) -> None:
    for model in models.MODELS:
        columns = {column.name for column in database.get_columns(model._meta.table_name)}
        assert columns == set(model._meta.columns), model


def test_every_table_has_a_model(folder: Path) -> None:
    known = {model._meta.table_name for model in models.MODELS}
    assert {name for name in database.get_tables() if not name.startswith("sqlite_")} == known


def test_a_database_of_the_previous_form_opens_and_a_copy_is_set_aside(yard: Path) -> None:
    path = yard / FILE_NAME
    close_database()
    assert bring_up_to_date(path, ONE_MORE) == 1
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("SELECT name, soil FROM yard").fetchall()
        assert connection.execute("PRAGMA user_version").fetchone() == (len(ONE_MORE),)
    (copy,) = (yard / "aside").iterdir()
    with closing(sqlite3.connect(copy)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (len(STEPS),)
        assert connection.execute("SELECT count(*) FROM yard").fetchone() == (1,)


def test_a_step_that_fails_leaves_nothing_behind(yard: Path) -> None:
    path = yard / FILE_NAME
    close_database()
    broken = (*STEPS, ("CREATE TABLE half (id INTEGER)", "INSERT INTO half VALUES (1), (1, 2)"))
    with pytest.raises(sqlite3.OperationalError):
        bring_up_to_date(path, broken)
    assert bring_up_to_date(path) == 0
    open_database(yard)
    assert "half" not in database.get_tables()


def test_a_newer_database_is_refused_untouched(yard: Path) -> None:
    path = yard / FILE_NAME
    close_database()
    bring_up_to_date(path, ONE_MORE)
    before = path.read_bytes()
    with pytest.raises(SchemaTooNew, match=r"newer walkabout.*Install the newer program"):
        open_database(yard)
    assert path.read_bytes() == before


def test_another_programs_database_is_refused(tmp_path: Path) -> None:
    path = tmp_path / FILE_NAME
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE theirs (id INTEGER)")
        connection.commit()
    with pytest.raises(DataFolderError, match="belongs to another program"):
        open_database(tmp_path)
