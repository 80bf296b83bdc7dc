"""The people of the tests, each with a fixed meaning, so that every test of a page has its refusals at hand.

owner      set the yard up; may do everything
keeper     has an account; notes and edits, but does not manage people
helper     comes for a day; today that is somebody signed out who holds an old, used-up link
stranger   scanned a tag in passing and has nothing
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any
from uuid import UUID

from walkabout.records import entries, people, plants, sessions, tags, yards
from walkabout.tags.codes import make_code

if TYPE_CHECKING:
    from flask import Flask
    from flask.testing import FlaskClient
    from werkzeug.test import TestResponse

# The fixed moment of the tests: evening in the yard, and already the next day by UTC.
NOW = datetime(2026, 11, 25, 2, 30, tzinfo=UTC)
TODAY = date(2026, 11, 24)
# An invented yard; New York's time zone, because it is behind UTC and has summer time.
YARD = {
    "name": "Long Meadow",
    "latitude": 42.6,
    "longitude": -76.4,
    "timezone": "America/New_York",
    "units": "us",
    "last_frost": yards.FrostDate(5, 12, about=True),
    "first_frost": yards.FrostDate(10, 6),
}
ORIGIN = "http://localhost"
DEVICE = "0e9f3b52-1f0f-4b6e-9d54-2f3f6f0b6a01"
PASSWORD = "three ripe quinces"
_TOKEN = re.compile(r'name="csrf_token"[^>]*value="([^"]+)"')


@dataclass
class Actor:
    """Somebody in front of a browser.

    Attributes:
        name: what the person signs in with; all actors of the cast have the password PASSWORD.
        client: the browser, with its own cookies.
        person: the account; None for somebody who has none.
    """

    name: str
    client: FlaskClient
    person: people.Person | None = None

    def get(self, address: str, **request: Any) -> TestResponse:
        """Open an address."""
        return self.client.get(address, **request)

    def token(self, address: str) -> str:
        """The form token that stands on a page."""
        found = _TOKEN.search(self.get(address).text)
        assert found, f"there is no form token on {address}"
        return found[1]

    def post(
        self,
        address: str,
        fields: Mapping[str, Any] | None = None,
        *,
        page: str | None = None,
        **request: Any,
    ) -> TestResponse:
        """Open a page with a form, fill it in and press its button.

        Args:
            address: where the form goes.
            fields: its fields, without the token.
            page: the page that shows the form; the address itself if not given.
        """
        data = {"csrf_token": self.token(page or address), **(fields or {})}
        return self.client.post(address, data=data, **request)

    def sign_in(self, now: datetime = NOW) -> None:
        """Come in by a one-time link, which costs no password work."""
        assert self.person is not None
        entered = self.post(f"/enter/{sessions.issue_link(self.person.id, now)}")
        assert entered.status_code == 302, entered.text


@dataclass(frozen=True)
class Cast:
    """Everybody. `helper_link` is the address that the helper once got and that is used up."""

    owner: Actor
    keeper: Actor
    helper: Actor
    stranger: Actor
    helper_link: str

    def __iter__(self) -> Any:
        return iter((self.owner, self.keeper, self.helper, self.stranger))

    @property
    def outsiders(self) -> tuple[Actor, Actor]:
        """Those who may see nothing of the yard."""
        return (self.helper, self.stranger)


def set_up_yard(**changes: Any) -> tuple[people.Person, people.Person]:
    """Set up the invented yard in the open database; gives its owner and its keeper."""
    yards.create_yard(**{**YARD, "origin": ORIGIN, **changes})
    return people.add_person("Odile", PASSWORD, "owner"), people.add_person("Kofi", PASSWORD, "keeper")


def plant_one(name: str = "Old gate fig", crop: str = "fig", **facts: Any) -> plants.Plant:
    """Record a plant and hang a tag on it, as every page and command that adds one does."""
    made = plants.add_plant(plants.PlantFacts(name=name, crop=crop, **facts))
    tags.issue_tag(made.id, make_code)
    tagged = plants.plant(made.id)
    assert tagged is not None
    return tagged


def new_id(made_at: datetime = NOW) -> str:
    """An entry id as a phone makes it: UUID version 7 (RFC 9562 section 5.7)."""
    milliseconds = int(made_at.timestamp() * 1000)
    random = secrets.randbits(74)
    number = milliseconds << 80 | 7 << 76 | (random >> 62) << 64 | 0b10 << 62 | random & (1 << 62) - 1
    return str(UUID(int=number))


def new_entry(
    plant: plants.Plant,
    author: people.Person,
    kind: str,
    *,
    subject: str = "",
    seen_on: date = TODAY,
    made_at: datetime = NOW,
    replaces: str | None = None,
    withdraws: str | None = None,
    entry_id: str | None = None,
    **details: Any,
) -> entries.NewEntry:
    """An entry as the records take it, checked already."""
    told = {
        "id": entry_id or new_id(made_at),
        "plant_id": plant.id,
        "kind": kind,
        "subject": subject,
        "seen_on": seen_on,
        "made_at": made_at.isoformat(timespec="milliseconds"),
        "clock_difference": None,
        "details": details,
        "replaces": replaces,
        "withdraws": withdraws,
        "author_id": author.id,
        "device": DEVICE,
        "form": 1,
    }
    return entries.NewEntry(**told, fingerprint=entries.fingerprint({**told, "seen_on": seen_on.isoformat()}))


def gather(app: Flask, owner: people.Person, keeper: people.Person) -> Cast:
    """Put everybody in front of a browser of their own; owner and keeper are signed in."""
    used_up = f"/enter/{sessions.issue_link(keeper.id, NOW)}"
    first_use = Actor("first use", app.test_client()).post(used_up)
    assert first_use.status_code == 302, first_use.text
    cast = Cast(
        owner=Actor(owner.name, app.test_client(), owner),
        keeper=Actor(keeper.name, app.test_client(), keeper),
        helper=Actor("Hanne", app.test_client()),
        stranger=Actor("Sam", app.test_client()),
        helper_link=used_up,
    )
    cast.owner.sign_in()
    cast.keeper.sign_in()
    return cast
