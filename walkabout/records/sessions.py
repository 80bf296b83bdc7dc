"""Signed-in phones and one-time sign-in links. Tokens are stored hashed, so the database opens no door."""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import uuid4

from walkabout.records import models
from walkabout.records.database import writing
from walkabout.records.people import Person, person

LIFE = timedelta(days=400)  # a phone that rests over a winter stays signed in
NOTE_USE_EVERY = timedelta(days=1)  # reading a page must not cost a write


@dataclass(frozen=True, slots=True)
class SignedIn:
    """Who a token stands for."""

    person: Person
    session_id: str


@dataclass(frozen=True, slots=True)
class Session:
    """One signed-in phone."""

    id: str
    label: str
    started_at: str
    seen_at: str


def start_session(person_id: str, label: str, now: datetime) -> str:
    """Sign a phone in; gives the token that its cookie carries."""
    token = secrets.token_urlsafe(32)
    with writing() as ledger:
        session_id = str(uuid4())
        models.Session.create(
            id=session_id,
            token_hash=_hashed(token),
            person_id=person_id,
            label=label[:120],
            started_at=now.isoformat(timespec="seconds"),
            seen_at=now.isoformat(timespec="seconds"),
            expires_at=(now + LIFE).isoformat(timespec="seconds"),
        )
        ledger.changed("session", session_id, "")
    return token


def signed_in(token: str, now: datetime) -> SignedIn | None:
    """Who the token stands for; None if it is unknown, ended or expired, or the account has ended."""
    session, member = models.Session, models.Membership
    row = (
        session.select(
            session.id,
            session.seen_at,
            session.expires_at,
            models.Person.id,
            models.Person.name,
            member.role,
        )
        .join(models.Person, on=(models.Person.id == session.person_id))
        .join(member, on=(member.person_id == session.person_id))
        .where(
            (session.token_hash == _hashed(token)) & session.ended_at.is_null() & member.ended_at.is_null()
        )
        .tuples()
        .first()
    )
    if row is None or datetime.fromisoformat(row[2]) <= now:
        return None
    if datetime.fromisoformat(row[1]) + NOTE_USE_EVERY < now:
        with writing() as ledger:
            session.update(
                seen_at=now.isoformat(timespec="seconds"),
                expires_at=(now + LIFE).isoformat(timespec="seconds"),
            ).where(session.id == row[0]).execute()
            ledger.changed("session", row[0], "")
    return SignedIn(Person(*row[3:]), row[0])


def sessions_of(person_id: str, now: datetime) -> list[Session]:
    """The phones on which a person is signed in, latest seen first."""
    session = models.Session
    rows = (
        session.select(session.id, session.label, session.started_at, session.seen_at, session.expires_at)
        .where((session.person_id == person_id) & session.ended_at.is_null())
        .order_by(session.seen_at.desc())
        .tuples()
    )
    return [Session(*row[:4]) for row in rows if datetime.fromisoformat(row[4]) > now]


def end_session(session_id: str, person_id: str, now: datetime) -> bool:
    """Sign one phone of a person out; False if it was not signed in."""
    session = models.Session
    with writing() as ledger:
        ended = (
            session.update(ended_at=now.isoformat(timespec="seconds"))
            .where((session.id == session_id) & (session.person_id == person_id) & session.ended_at.is_null())
            .execute()
        )
        if ended:
            ledger.changed("session", session_id, "")
    return bool(ended)


def end_sessions(person_id: str, now: datetime) -> None:
    """Sign a person out on all phones."""
    session = models.Session
    with writing() as ledger:
        session.update(ended_at=now.isoformat(timespec="seconds")).where(
            (session.person_id == person_id) & session.ended_at.is_null()
        ).execute()
        ledger.changed("session", person_id, "")


def issue_link(person_id: str, now: datetime, minutes: int = 15) -> str:
    """A token that signs a person in once, within so many minutes."""
    token = secrets.token_urlsafe(32)
    with writing() as ledger:
        expires_at = (now + timedelta(minutes=minutes)).isoformat(timespec="seconds")
        models.SignInLink.create(token_hash=_hashed(token), person_id=person_id, expires_at=expires_at)
        ledger.changed("sign_in_link", person_id, "")
    return token


def redeem_link(token: str, now: datetime) -> Person | None:
    """The person of a one-time link, which is used up by this; None if it is unknown, used or too old."""
    link = models.SignInLink
    with writing() as ledger:
        found = link.get_or_none((link.token_hash == _hashed(token)) & link.used_at.is_null())
        if found is None or datetime.fromisoformat(str(found.expires_at)) <= now:
            return None
        link.update(used_at=now.isoformat(timespec="seconds")).where(
            link.token_hash == found.token_hash
        ).execute()
        ledger.changed("sign_in_link", str(found.person_id), "")
        return person(str(found.person_id))


def _hashed(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
