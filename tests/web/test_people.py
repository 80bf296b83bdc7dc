"""Signing in and out, phones, passwords, keepers.

Sources: OWASP Authentication and Session Management cheat sheets; RFC 6585 section 4 (429 and Retry-After).
"""

import re

import pytest
from flask import Flask

from tests.cast import NOW, PASSWORD, Actor, Cast
from walkabout.records import people, sessions
from walkabout.records.people import Person
from walkabout.records.plants import Plant


def test_owner_signs_in_with_name_and_password(cast: Cast) -> None:
    answer = cast.stranger.post("/sign-in", {"name": "Odile", "password": PASSWORD})
    assert answer.status_code == 302
    assert answer.location == "/"
    assert cast.stranger.get("/").status_code == 200


@pytest.mark.parametrize("name", ["Odile", "Nobody"])
def test_a_wrong_password_and_an_unknown_name_get_the_same_words(cast: Cast, name: str) -> None:
    answer = cast.stranger.post("/sign-in", {"name": name, "password": "not this one"})
    assert answer.status_code == 403
    assert "Name and password do not go together" in answer.text
    assert cast.stranger.get("/").status_code == 302


def test_signing_in_leads_back_to_the_tag(cast: Cast, plant: Plant) -> None:
    shown = cast.stranger.get(f"/T/{plant.code}")
    assert f"/sign-in?next=/T/{plant.code}" in shown.text
    answer = cast.stranger.post(f"/sign-in?next=/T/{plant.code}", {"name": "Odile", "password": PASSWORD})
    assert answer.location == f"/T/{plant.code}"


@pytest.mark.parametrize(
    "elsewhere",
    [
        "https://evil.example/",
        "//evil.example/",
        "/\\evil.example",
        "\\\\evil.example",
        "/%0d%0aLocation:%20https://evil.example",
        "/\t/evil.example",
        "javascript:alert(1)",
        "http:evil.example",
    ],
)
def test_signing_in_leads_nowhere_else(cast: Cast, elsewhere: str) -> None:
    answer = cast.stranger.client.post(
        "/sign-in",
        query_string={"next": elsewhere},
        data={"name": "Odile", "password": PASSWORD, "csrf_token": cast.stranger.token("/sign-in")},
    )
    assert answer.status_code == 302
    assert answer.location.startswith("/")
    assert not answer.location.startswith(("//", "/\\"))
    assert "\n" not in answer.location


def test_tries_that_fail_are_counted_and_the_eleventh_waits(cast: Cast) -> None:
    token = cast.stranger.token("/sign-in")
    fields = {"name": "Odile", "password": "not this one", "csrf_token": token}
    for _ in range(10):
        assert cast.stranger.client.post("/sign-in", data=fields).status_code == 403
    stopped = cast.stranger.client.post("/sign-in", data={**fields, "password": PASSWORD})
    assert stopped.status_code == 429
    assert 0 < int(stopped.headers["Retry-After"]) <= 60
    assert "Nothing is lost" in stopped.text
    assert cast.stranger.get("/sign-in").status_code == 200  # looking costs nothing


def test_tries_that_succeed_are_not_counted(cast: Cast) -> None:
    for _ in range(12):
        assert cast.stranger.post("/sign-in", {"name": "Odile", "password": PASSWORD}).status_code == 302


def test_a_one_time_link_is_not_used_up_by_a_preview(
    cast: Cast, app: Flask, members: tuple[Person, Person]
) -> None:
    link = f"/enter/{sessions.issue_link(members[1].id, NOW)}"
    for _ in range(3):
        assert cast.stranger.get(link).status_code == 200
    assert cast.stranger.get("/").status_code == 302
    assert cast.stranger.post(link).status_code == 302
    assert "Kofi" in cast.stranger.get("/you").text
    again = Actor("again", app.test_client()).post(link)
    assert again.status_code == 403
    assert "used up" in again.text


def test_a_helper_with_an_old_link_sees_nothing(cast: Cast) -> None:
    assert cast.helper.post(cast.helper_link).status_code == 403
    assert cast.helper.get("/").status_code == 302


def test_signing_out_ends_the_session_itself(cast: Cast, app: Flask) -> None:
    cookie = cast.keeper.client.get_cookie("walkabout").value
    answer = cast.keeper.post("/sign-out", page="/you")
    assert answer.status_code == 302
    assert cast.keeper.get("/you").status_code == 302
    thief = app.test_client()
    thief.set_cookie("walkabout", cookie)
    assert thief.get("/you").status_code == 302


def test_signing_out_by_a_link_does_nothing(cast: Cast) -> None:
    assert cast.keeper.get("/sign-out").status_code == 405
    assert cast.keeper.get("/you").status_code == 200


def test_a_phone_is_signed_out_from_another(cast: Cast, app: Flask) -> None:
    second = Actor("Kofi", app.test_client(), cast.keeper.person)
    second.sign_in()
    for phone in re.findall(r'action="(/you/phones/[^"]+)"', cast.keeper.get("/you").text):
        assert cast.keeper.post(phone, page="/you").status_code == 302
    assert second.get("/you").status_code == 302
    assert cast.keeper.get("/you").status_code == 200


def test_nobody_signs_out_the_phone_of_another(cast: Cast, members: tuple[Person, Person]) -> None:
    theirs = sessions.sessions_of(members[0].id, NOW)[0].id
    assert cast.keeper.post(f"/you/phones/{theirs}/end", page="/you").status_code == 404
    assert cast.owner.get("/you").status_code == 200


def test_the_password_is_changed_against_the_present_one(cast: Cast) -> None:
    new = {"present": PASSWORD, "new": "four ripe medlars", "again": "four ripe medlars"}
    assert cast.keeper.post("/you/password", {**new, "present": "not this one"}).status_code == 403
    assert cast.keeper.post("/you/password", {**new, "again": "another"}).status_code == 200
    assert cast.keeper.post("/you/password", {**new, "new": "short", "again": "short"}).status_code == 200
    assert people.check_password("Kofi", PASSWORD) is not None
    assert cast.keeper.post("/you/password", new).status_code == 302
    assert people.check_password("Kofi", PASSWORD) is None
    assert people.check_password("Kofi", "four ripe medlars") is not None


def test_owner_adds_and_ends_a_keeper(cast: Cast) -> None:
    answer = cast.owner.post("/people", {"name": "Mira", "password": "five green figs"})
    assert answer.status_code == 302
    mira = people.check_password("Mira", "five green figs")
    assert mira is not None
    assert mira.role == "keeper"
    taken = cast.owner.post("/people", {"name": "Mira", "password": "five green figs"})
    assert "in this yard already" in taken.text
    assert cast.owner.post(f"/people/{mira.id}/end", page="/people").status_code == 302
    assert people.check_password("Mira", "five green figs") is None


def test_an_ended_keeper_is_out_at_once(cast: Cast, members: tuple[Person, Person]) -> None:
    assert cast.owner.post(f"/people/{members[1].id}/end", page="/people").status_code == 302
    assert cast.keeper.get("/you").status_code == 302


def test_the_owner_cannot_be_ended(cast: Cast, members: tuple[Person, Person]) -> None:
    assert cast.owner.post(f"/people/{members[0].id}/end", page="/people").status_code == 404
    assert cast.owner.get("/you").status_code == 200


def test_owner_gives_a_keeper_a_new_password(cast: Cast, members: tuple[Person, Person]) -> None:
    owner, keeper = members
    address = f"/people/{keeper.id}/password"
    assert address in cast.owner.get("/people").text
    assert cast.owner.post(address, {"password": "short"}).status_code == 422
    assert people.check_password("Kofi", PASSWORD) is not None
    assert cast.owner.post(address, {"password": "six black plums"}).status_code == 302
    assert people.check_password("Kofi", PASSWORD) is None
    assert people.check_password("Kofi", "six black plums") is not None
    assert cast.keeper.get("/you").status_code == 302  # signed out everywhere
    assert cast.owner.get(f"/people/{owner.id}/password").status_code == 404
    cast.keeper.sign_in()
    assert cast.keeper.get(f"/people/{owner.id}/password").status_code == 403


def test_a_keeper_does_not_manage_people(cast: Cast, members: tuple[Person, Person]) -> None:
    assert cast.keeper.get("/people").status_code == 403
    token = cast.keeper.token("/you")
    refused = cast.keeper.client.post(f"/people/{members[0].id}/end", data={"csrf_token": token})
    assert refused.status_code == 403
    added = cast.keeper.client.post(
        "/people", data={"csrf_token": token, "name": "Mira", "password": "five green figs"}
    )
    assert added.status_code == 403
    assert [person.name for person in people.people()] == ["Kofi", "Odile"]


@pytest.mark.parametrize("address", ["/", "/you", "/people", "/plants/add", "/you/password", "/tags/find"])
def test_outsiders_are_asked_to_sign_in(cast: Cast, address: str) -> None:
    for outsider in cast.outsiders:
        answer = outsider.get(address)
        assert answer.status_code == 302
        assert answer.location.startswith("/sign-in")


@pytest.mark.parametrize("address", ["/sign-in", "/sign-out", "/you/password", "/people", "/plants/add"])
def test_a_post_without_the_form_token_changes_nothing(cast: Cast, address: str) -> None:
    answer = cast.owner.client.post(address, data={"name": "Odile", "password": PASSWORD})
    assert answer.status_code == 400
    assert "Nothing is changed" in answer.text
    assert cast.owner.get("/you").status_code == 200


def test_html_in_a_name_is_shown_as_text(cast: Cast) -> None:
    name = "<script>alert(1)</script>"
    cast.owner.post("/people", {"name": name, "password": "five green figs"})
    page = cast.owner.get("/people").text
    assert name not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page
