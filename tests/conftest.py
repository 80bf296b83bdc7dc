"""Fixtures for all tests: a yard in a real SQLite file, the app, the cast, the served product, a browser."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests import cast as people_of_the_tests
from tests.browser import launch
from tests.server import Server
from walkabout.records import people, yards
from walkabout.records.database import close_database, database, open_database
from walkabout.records.entries import keep_entries

if TYPE_CHECKING:
    from flask import Flask
    from playwright.sync_api import Browser, Playwright

    from tests.cast import Cast
    from walkabout.records.plants import Plant

# Tests that take minutes go first, so that two processes end at about the same time.
LONG_FIRST = ("tests/kills/", "tests/offline/", "tests/web/test_access")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--full", action="store_true", help="larger counts; takes much longer")


def pytest_configure() -> None:
    """Hear Ctrl-C, also where a shell started the tests in the background, which makes all they start deaf to it."""
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Order the long tests first; keep the order otherwise."""

    def rank(item: pytest.Item) -> int:
        place = item.path.relative_to(item.config.rootpath).as_posix()
        return next(
            (number for number, start in enumerate(LONG_FIRST) if place.startswith(start)), len(LONG_FIRST)
        )

    items.sort(key=rank)


@pytest.fixture(scope="session")
def full(pytestconfig: pytest.Config) -> bool:
    """True when the larger counts were asked for."""
    return bool(pytestconfig.getoption("full"))


@pytest.fixture(autouse=True)
def tidy(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """No test sees the environment of the person who runs it, or leaves a database open for the next."""
    for name in [name for name in os.environ if name.startswith("WALKABOUT_") and "TEST" not in name]:
        monkeypatch.delenv(name)
    # The same function with little work: what takes long in scrypt is on purpose and not ours to test.
    monkeypatch.setattr(people, "PASSWORD_METHOD", "scrypt:256:8:1")
    yield
    close_database()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A data folder with an open database and no yard in it yet."""
    place = tmp_path / "yard"
    open_database(place, create=True)
    return place


@pytest.fixture
def members(folder: Path) -> tuple[people.Person, people.Person]:
    """The owner and the keeper of the invented yard, which this sets up."""
    return people_of_the_tests.set_up_yard()


@pytest.fixture
def yard(folder: Path, members: object) -> Path:
    """The data folder of the invented yard; its database is open."""
    return folder


@pytest.fixture
def make_plant(yard: Path) -> Callable[..., Plant]:
    """Records a tagged plant: ``make_plant("Old gate fig", "fig", cultivar="Brown Turkey")``."""
    return people_of_the_tests.plant_one


@pytest.fixture
def plant(make_plant: Callable[..., Plant]) -> Plant:
    """One tagged plant."""
    return make_plant()


@pytest.fixture
def kept_entry(plant: Plant, members: tuple[people.Person, people.Person]) -> str:
    """The id of one note that the keeper made about the plant."""
    note = people_of_the_tests.new_entry(plant, members[1], "note", words="Scale on two shoots")
    assert [answer.word for answer in keep_entries([note])] == ["stored"]
    return note.id


@pytest.fixture
def app(yard: Path) -> Flask:
    """The app on the invented yard, with the clock standing at ``tests.cast.NOW``."""
    from walkabout.app import create_app  # here, so that tests of lower layers do not wait for Flask

    return create_app(yard, {"CLOCK": lambda: people_of_the_tests.NOW, "TESTING": True})


@pytest.fixture
def cast(app: Flask, members: tuple[people.Person, people.Person]) -> Cast:
    """Owner, keeper, helper and stranger, each with a browser of their own."""
    return people_of_the_tests.gather(app, *members)


@pytest.fixture
def count_queries() -> Callable[[], AbstractContextManager[list[str]]]:
    """``with count_queries() as queries: ...`` gathers the SQL that this thread's connection runs."""

    @contextmanager
    def counting() -> Iterator[list[str]]:
        queries: list[str] = []

        def note(statement: str) -> None:
            # What triggers and foreign keys run begins with a comment.
            if not statement.lstrip().startswith(("--", "BEGIN", "COMMIT", "PRAGMA", "SAVEPOINT", "RELEASE")):
                queries.append(statement)

        connection: Any = database.connection()
        connection.set_trace_callback(note)
        try:
            yield queries
        finally:
            assert database.connection() is connection, (
                "the app changed the connection, so nothing was counted"
            )
            connection.set_trace_callback(None)

    return counting


@pytest.fixture
def server(yard: Path) -> Iterator[Server]:
    """The product serving the invented yard as a process, ready to answer; its origin is recorded."""
    served = Server(yard)
    yards.add_origin(served.origin)
    served.start()
    yield served
    served.close()


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """Playwright, started once."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """One Chromium for all tests that need no profile of their own."""
    started = launch(playwright)
    yield started
    started.close()
