"""The people of the yard, what they may do, and their passwords."""

from dataclasses import dataclass
from functools import cache
from typing import Any
from uuid import uuid4

from werkzeug.security import check_password_hash, generate_password_hash

from walkabout.errors import BadInput, NotFound
from walkabout.records import models
from walkabout.records.database import writing

PASSWORD_METHOD = "scrypt"  # noqa: S105 -- the name of the method, not a password
SHORTEST_PASSWORD = 8


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who has an account. `role` is "owner" or "keeper"."""

    id: str
    name: str
    role: str


def add_person(name: str, password: str, role: str = "keeper") -> Person:
    """Add somebody, or take back somebody whose membership had ended.

    Raises:
        BadInput: the name is empty or taken, or the password is too short.
    """
    name = " ".join(name.split())
    if not name:
        raise BadInput("A name is needed. Write the name that this person signs in with.", "name")
    password_hash = _hash(password)
    with writing() as ledger:
        yard = models.Yard.get()
        found = models.Person.get_or_none(models.Person.name == name)
        if found is not None:
            membership = models.Membership.get_or_none(models.Membership.person_id == found.id)
            if membership is not None and membership.ended_at is None:
                raise BadInput(f"{name} is in this yard already. Choose another name.", "name")
            models.Person.update(password_hash=password_hash).where(models.Person.id == found.id).execute()
            models.Membership.update(role=role, since=ledger.now, ended_at=None).where(
                models.Membership.person_id == found.id
            ).execute()
            person = Person(str(found.id), str(found.name), role)
        else:
            person = Person(str(uuid4()), name, role)
            models.Person.create(id=person.id, name=name, password_hash=password_hash, made_at=ledger.now)
            models.Membership.create(person_id=person.id, yard_id=yard.id, role=role, since=ledger.now)
        ledger.changed("person", person.id)
    return person


def check_password(name: str, password: str) -> Person | None:
    """The person, if the password is right and the membership has not ended.

    An unknown name costs the same work as a wrong password, so that time does not tell which it was.
    """
    row = (
        _members()
        .select_extend(models.Person.password_hash)
        .where(models.Person.name == " ".join(name.split()))
        .tuples()
        .first()
    )
    known_hash = row[3] if row else _hash_of_nobody(PASSWORD_METHOD)
    right = check_password_hash(known_hash, password)
    return Person(*row[:3]) if row and right else None


def person(person_id: str) -> Person | None:
    """Somebody who has an account now, or None."""
    row = _members().where(models.Person.id == person_id).tuples().first()
    return Person(*row) if row else None


def people() -> list[Person]:
    """Everybody who has an account now, by name."""
    return [Person(*row) for row in _members().order_by(models.Person.name).tuples()]


def end_membership(person_id: str) -> None:
    """End an account and all its sessions; what the person entered stays.

    Raises:
        NotFound: there is no such account.
        BadInput: the person is the only owner.
    """
    with writing() as ledger:
        found = person(person_id)
        if found is None:
            raise NotFound("There is no such person in this yard.")
        if found.role == "owner" and sum(other.role == "owner" for other in people()) == 1:
            raise BadInput("The only owner cannot be ended. Make another person owner first.")
        models.Membership.update(ended_at=ledger.now).where(
            models.Membership.person_id == person_id
        ).execute()
        models.Session.update(ended_at=ledger.now).where(
            (models.Session.person_id == person_id) & models.Session.ended_at.is_null()
        ).execute()
        ledger.changed("person", person_id)


def change_password(person_id: str, password: str) -> None:
    """Give a person a new password.

    Raises:
        BadInput: the password is too short.
    """
    password_hash = _hash(password)
    with writing() as ledger:
        models.Person.update(password_hash=password_hash).where(models.Person.id == person_id).execute()
        ledger.changed("person", person_id)


def _members() -> Any:
    return (
        models.Person.select(models.Person.id, models.Person.name, models.Membership.role)
        .join(models.Membership, on=(models.Membership.person_id == models.Person.id))
        .where(models.Membership.ended_at.is_null())
    )


def _hash(password: str) -> str:
    if len(password) < SHORTEST_PASSWORD:
        raise BadInput(
            f"The password is too short. Take at least {SHORTEST_PASSWORD} characters.", "password"
        )
    return generate_password_hash(password, PASSWORD_METHOD)


@cache
def _hash_of_nobody(method: str) -> str:
    return generate_password_hash(str(uuid4()), method)
