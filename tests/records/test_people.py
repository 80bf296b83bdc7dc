"""People, passwords, sessions and one-time links."""

from datetime import timedelta

import pytest

from tests.cast import NOW
from walkabout.errors import BadInput, NotFound
from walkabout.records import models, people, sessions
from walkabout.records.people import Person


def test_a_password_opens_for_its_person_only(members: tuple[Person, Person]) -> None:
    added = people.add_person("  Rosa   Grün ", "a long password")
    assert people.check_password("rosa grün", "a long password") == added == people.person(added.id)
    assert people.check_password("Rosa Grün", "a long passwort") is None
    assert people.check_password("Nobody", "a long password") is None


def test_the_hash_is_salted_scrypt(members: tuple[Person, Person]) -> None:
    first, second = people.add_person("A", "same password"), people.add_person("B", "same password")
    hashes = dict(models.Person.select(models.Person.id, models.Person.password_hash).tuples())
    assert hashes[first.id].startswith("scrypt:")
    assert hashes[first.id] != hashes[second.id]


@pytest.mark.parametrize(("name", "password"), [("", "long enough"), ("Rosa", "short")])
def test_a_person_needs_a_name_and_a_password(members: object, name: str, password: str) -> None:
    with pytest.raises(BadInput):
        people.add_person(name, password)


def test_a_name_is_taken_once_but_may_come_back(members: tuple[Person, Person]) -> None:
    added = people.add_person("Rosa", "long enough")
    with pytest.raises(BadInput, match="already"):
        people.add_person("ROSA", "long enough")
    people.end_membership(added.id)
    assert people.check_password("Rosa", "long enough") is None
    assert people.add_person("Rosa", "quite another").id == added.id
    assert people.check_password("Rosa", "quite another") is not None


def test_ending_an_account_ends_its_phones(members: tuple[Person, Person]) -> None:
    keeper = members[1]
    token = sessions.start_session(keeper.id, "Phone", NOW)
    people.end_membership(keeper.id)
    assert sessions.signed_in(token, NOW) is None


def test_the_only_owner_stays(members: tuple[Person, Person]) -> None:
    with pytest.raises(BadInput, match="only owner"):
        people.end_membership(members[0].id)
    with pytest.raises(NotFound):
        people.end_membership("nobody")


def test_a_session_lives_while_it_is_used(members: tuple[Person, Person]) -> None:
    token = sessions.start_session(members[0].id, "Phone", NOW)
    later = NOW + sessions.LIFE - timedelta(days=1)
    assert sessions.signed_in(token, later) is not None
    assert sessions.signed_in(token, later + timedelta(days=30)) is not None
    assert sessions.signed_in(token, later + sessions.LIFE + timedelta(days=31)) is None
    assert sessions.signed_in(token[:-1], NOW) is None


def test_one_phone_can_be_ended_from_another_by_its_person_only(members: tuple[Person, Person]) -> None:
    owner, keeper = members
    token = sessions.start_session(owner.id, "Old phone", NOW)
    (session,) = sessions.sessions_of(owner.id, NOW)
    assert not sessions.end_session(session.id, keeper.id, NOW)
    assert sessions.signed_in(token, NOW) is not None
    assert sessions.end_session(session.id, owner.id, NOW)
    assert sessions.signed_in(token, NOW) is None
    assert sessions.sessions_of(owner.id, NOW) == []


def test_a_sign_in_link_works_once_and_not_late(members: tuple[Person, Person]) -> None:
    owner = members[0]
    link = sessions.issue_link(owner.id, NOW)
    assert sessions.redeem_link(link, NOW) == owner
    assert sessions.redeem_link(link, NOW) is None
    late = sessions.issue_link(owner.id, NOW, minutes=15)
    assert sessions.redeem_link(late, NOW + timedelta(minutes=15)) is None
    assert sessions.redeem_link("made up", NOW) is None


def test_no_token_is_stored_as_it_is(members: tuple[Person, Person]) -> None:
    tokens = {sessions.start_session(members[0].id, "Phone", NOW), sessions.issue_link(members[0].id, NOW)}
    stored = {row.token_hash for row in (*models.Session.select(), *models.SignInLink.select())}
    assert not tokens & stored
