"""The exchange over HTTP: what is asked of a request, and what a bad one is told. Nothing of a bad one is kept."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from tests.cast import ORIGIN, Actor, Cast, new_id
from tests.sync.sent import sent
from walkabout.records import entries, yards
from walkabout.sync.inbox import MOST_BYTES, MOST_ENTRIES

if TYPE_CHECKING:
    from werkzeug.test import TestResponse

    from walkabout.records.plants import Plant

HEADERS = {"X-Walkabout": "entries", "Origin": ORIGIN, "Sec-Fetch-Site": "same-origin"}


def send(
    actor: Actor, *batch: Any, headers: dict[str, str | None] | None = None, **request: Any
) -> TestResponse:
    """Send entries as a phone does; a header given as None is left out."""
    merged = {**HEADERS, **(headers or {})}
    request = {"json": {"entries": batch, "sent_at": "2026-11-25T02:30:00.000Z"}, **request}
    return actor.client.post(
        "/sync/entries",
        headers={name: value for name, value in merged.items() if value is not None},
        **request,
    )


def turned_away(response: TestResponse, status: int, words: str) -> None:
    """The whole request was turned away: a problem by RFC 9457 that says so, and nothing kept."""
    assert response.status_code == status
    assert response.mimetype == "application/problem+json"
    assert response.json is not None
    assert response.json["status"] == status
    assert words in response.json["detail"]
    assert entries.count_entries() == 0


def test_entries_are_answered_each_on_its_own(cast: Cast, plant: Plant) -> None:
    assert cast.keeper.person
    good = sent(plant, cast.keeper.person)
    answer = send(cast.keeper, good, {**sent(plant, cast.keeper.person), "kind": "weather"})
    assert answer.status_code == 200
    assert answer.json is not None
    assert answer.json["database"] == yards.database_id()
    assert answer.json["server_time"] == "2026-11-25T02:30:00.000+00:00"
    assert [told["word"] for told in answer.json["answers"]] == ["stored", "refused"]
    assert answer.json["answers"][0] == {"id": good["id"], "word": "stored", "reason": None}
    assert answer.headers["Cache-Control"] == "no-store"


def test_an_empty_batch_is_a_greeting(cast: Cast) -> None:
    answer = send(cast.keeper)
    assert answer.status_code == 200
    assert answer.json is not None
    assert answer.json["answers"] == []


@pytest.mark.parametrize("left_out", ["Origin", "Sec-Fetch-Site"])
def test_one_word_of_the_browser_on_where_it_comes_from_is_enough(
    cast: Cast, plant: Plant, left_out: str
) -> None:
    assert cast.keeper.person
    assert send(cast.keeper, sent(plant, cast.keeper.person), headers={left_out: None}).status_code == 200


# Source of the rules: OWASP Cross-Site Request Forgery Prevention Cheat Sheet, "Fetch Metadata" and
# "Custom Request Headers".
@pytest.mark.parametrize(
    ("headers", "status", "words"),
    [
        ({"Origin": "https://elsewhere.example"}, 403, "not one of the yard's"),
        ({"Origin": "null"}, 403, "not one of the yard's"),
        ({"Origin": ORIGIN + ":8080"}, 403, "not one of the yard's"),
        ({"Sec-Fetch-Site": "cross-site"}, 403, "not one of the yard's"),
        ({"Sec-Fetch-Site": "same-site"}, 403, "not one of the yard's"),
        ({"Origin": None, "Sec-Fetch-Site": None}, 403, "does not say"),
        ({"X-Walkabout": None}, 400, "X-Walkabout is missing"),
        ({"X-Walkabout": "pages"}, 400, "X-Walkabout is missing"),
    ],
)
def test_a_request_that_another_site_could_make_is_turned_away(
    cast: Cast, plant: Plant, headers: dict[str, str | None], status: int, words: str
) -> None:
    assert cast.keeper.person
    turned_away(send(cast.keeper, sent(plant, cast.keeper.person), headers=headers), status, words)


@pytest.mark.parametrize("content_type", ["text/plain", "application/x-www-form-urlencoded", ""])
def test_only_json_is_taken(cast: Cast, plant: Plant, content_type: str) -> None:
    assert cast.keeper.person
    body = json.dumps({"entries": [sent(plant, cast.keeper.person)]})
    answer = send(cast.keeper, json=None, data=body, content_type=content_type)
    turned_away(answer, 415, "as JSON")


@pytest.mark.parametrize(
    "body",
    ["", "{", "[]", "{}", '{"entries": {}}', '{"entries": [], "more": 1}', '{"entries": [NaN]}', "[" * 100_000, b"\xff"],
    ids=["empty", "cut off", "a list", "no entries", "no list", "more keys", "no number", "nested", "no text"],
)  # fmt: skip
def test_what_cannot_be_read_is_turned_away(cast: Cast, body: str | bytes) -> None:
    answer = send(cast.keeper, json=None, data=body, content_type="application/json")
    turned_away(answer, 400, "Nothing of this")


def test_too_many_entries_are_told_how_to_come(cast: Cast, plant: Plant) -> None:
    assert cast.keeper.person
    batch = [sent(plant, cast.keeper.person) for _ in range(MOST_ENTRIES + 1)]
    turned_away(send(cast.keeper, *batch), 413, "Send it in halves")
    assert send(cast.keeper, *batch[:MOST_ENTRIES]).status_code == 200


@pytest.mark.parametrize("length", [MOST_BYTES, 10_000_000])
def test_too_large_a_request_is_told_how_to_come(cast: Cast, plant: Plant, length: int) -> None:
    assert cast.keeper.person
    turned_away(
        send(cast.keeper, sent(plant, cast.keeper.person, words="x" * length)), 413, "Send it in halves"
    )


def test_outsiders_are_asked_to_sign_in(cast: Cast, plant: Plant) -> None:
    assert cast.keeper.person
    for outsider in cast.outsiders:
        turned_away(send(outsider, sent(plant, cast.keeper.person)), 401, "Sign in to send it")
        assert outsider.get("/sync/pages").status_code == 401


def test_a_page_of_somebody_who_signed_out_sends_nothing_as_the_next(cast: Cast, plant: Plant) -> None:
    assert cast.keeper.person
    headers = {"X-Walkabout-Person": cast.keeper.person.id}
    turned_away(send(cast.owner, sent(plant, cast.keeper.person), headers=headers), 403, "Somebody else")


def test_the_list_of_pages_is_one_persons_and_unchanged_until_something_changes(
    cast: Cast, plant: Plant
) -> None:
    assert cast.keeper.person
    first = cast.keeper.get("/sync/pages")
    assert first.status_code == 200
    assert first.json is not None
    assert first.json["person"] == cast.keeper.person.id
    assert first.json["yard_date"] == "2026-11-24"
    address = f"/sync/pages?have={first.json['token']}"
    unchanged = cast.keeper.get(address)
    assert (unchanged.status_code, unchanged.data) == (304, b"")
    assert cast.owner.get(address).status_code == 200
    send(cast.keeper, sent(plant, cast.keeper.person))
    assert cast.keeper.get(address).status_code == 200


def test_every_listed_page_comes_in_the_listed_version_and_names_the_person(cast: Cast, plant: Plant) -> None:
    assert cast.keeper.person
    listed = cast.keeper.get("/sync/pages").json
    assert listed is not None
    assert f"/plants/{plant.id}" in [page["path"] for page in listed["pages"]]
    for page in listed["pages"]:
        answer = cast.keeper.get(page["path"])
        assert answer.status_code == 200
        assert answer.get_etag() == (f"{page['version']}.{cast.keeper.person.id}", True)
        assert answer.headers["X-Walkabout-Person"] == cast.keeper.person.id
        assert "csrf_token" not in answer.text
        again = cast.keeper.get(page["path"], headers={"If-None-Match": answer.headers["ETag"]})
        assert (again.status_code, again.data) == (304, b"")


def test_a_page_told_to_one_person_is_not_unchanged_for_the_next(cast: Cast, plant: Plant) -> None:
    address = f"/plants/{plant.id}"
    told = cast.keeper.get(address).headers["ETag"]
    assert cast.owner.get(address, headers={"If-None-Match": told}).status_code == 200


def test_an_entry_that_was_refused_does_not_turn_the_request_away(cast: Cast, plant: Plant) -> None:
    assert cast.keeper.person
    answer = send(cast.keeper, {**sent(plant, cast.keeper.person), "plant": new_id()})
    assert answer.status_code == 200
    assert answer.json is not None
    assert "no such plant" in answer.json["answers"][0]["reason"]
