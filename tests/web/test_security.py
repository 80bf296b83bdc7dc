"""What every answer carries.

Sources: OWASP HTTP Headers and Content Security Policy cheat sheets; RFC 9110 sections 8.4 and 12.5.3 (content
coding, Vary); RFC 9111 section 5.2 (Cache-Control); RFC 8246 (immutable).
"""

import gzip
from pathlib import Path

import pytest
from werkzeug.test import TestResponse

from tests.cast import NOW, PASSWORD, Actor, Cast, set_up_yard
from walkabout import assets
from walkabout.app import create_app

ADDRESSES = ("/", "/sign-in", "/help", "/T/ABC-DEFG", "/nowhere", "/plants/add")


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_answer_carries_the_headers(cast: Cast, address: str) -> None:
    for actor in (cast.owner, cast.stranger):
        headers = actor.get(address).headers
        policy = dict(part.split(" ", 1) for part in headers["Content-Security-Policy"].split("; "))
        assert policy["script-src"] == policy["style-src"] == policy["form-action"] == "'self'"
        assert policy["object-src"] == policy["base-uri"] == policy["frame-ancestors"] == "'none'"
        assert policy["worker-src"] == policy["manifest-src"] == "'self'"
        assert "unsafe" not in headers["Content-Security-Policy"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "same-origin"
        assert "camera=(self)" in headers["Permissions-Policy"]


def test_no_page_holds_inline_script_or_style(cast: Cast) -> None:
    for address in ADDRESSES:
        page = cast.owner.get(address).text
        assert "<style" not in page
        assert " style=" not in page
        assert " onclick=" not in page
        assert page.count("<script") == page.count('<script type="module" src="/static/')


def test_pages_are_private_and_vary_by_cookie(cast: Cast) -> None:
    answer = cast.owner.get("/")
    assert answer.headers["Cache-Control"] == "private, no-cache"
    assert "Cookie" in answer.headers["Vary"]


def test_text_is_compressed_only_for_those_who_take_it(cast: Cast) -> None:
    plain = cast.owner.get("/plants/add")
    packed = cast.owner.get("/plants/add", headers={"Accept-Encoding": "gzip, br"})
    refused = cast.owner.get("/plants/add", headers={"Accept-Encoding": "gzip;q=0"})
    assert "Content-Encoding" not in plain.headers
    assert "Content-Encoding" not in refused.headers
    assert packed.headers["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in packed.headers["Vary"]
    assert "Accept-Encoding" in plain.headers["Vary"]
    assert b"<!doctype html>" in gzip.decompress(packed.data)
    assert len(packed.data) == int(packed.headers["Content-Length"]) < len(plain.data) / 2


def test_pictures_are_not_compressed_again(cast: Cast) -> None:
    answer = cast.stranger.get(
        f"/static/{assets.program_version()}/icons/icon-192.png", headers={"Accept-Encoding": "gzip"}
    )
    assert answer.status_code == 200
    assert "Content-Encoding" not in answer.headers


def test_static_files_of_this_version_are_kept_for_good(cast: Cast) -> None:
    answer = cast.stranger.get(f"/static/{assets.program_version()}/css/tokens.css")
    assert answer.status_code == 200
    assert "immutable" in answer.headers["Cache-Control"]
    assert "Cookie" not in answer.headers.get("Vary", "")


def test_static_files_of_another_version_are_asked_for_anew(cast: Cast) -> None:
    answer = cast.stranger.get("/static/000000000000/css/tokens.css")
    assert answer.status_code == 200
    assert answer.headers["Cache-Control"] == "no-cache"


@pytest.mark.parametrize("path", ["../pyproject.toml", "%2e%2e/pyproject.toml", "css/none.css", "css"])
def test_static_gives_nothing_from_outside(cast: Cast, path: str) -> None:
    answer = cast.stranger.get(f"/static/{assets.program_version()}/{path}")
    assert answer.status_code == 404


def test_modules_have_the_type_that_browsers_ask_for(cast: Cast) -> None:
    answer = cast.stranger.get(f"/static/{assets.program_version()}/js/codes.js")
    assert answer.mimetype == "text/javascript"


def test_cookie_is_hidden_from_scripts_and_lasts(cast: Cast) -> None:
    answer = cast.stranger.get("/sign-in")
    assert "HttpOnly" in answer.headers["Set-Cookie"]
    entered = _sign_in(cast.stranger)
    cookie = entered.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    assert "Expires=" in cookie
    assert "Secure" not in cookie  # the recorded origin of the tests is http


def test_cookie_is_secure_when_the_recorded_origin_is_https(folder: Path) -> None:
    set_up_yard(origin="https://yard.example")
    client = create_app(folder, {"CLOCK": lambda: NOW}).test_client()
    assert "Secure" in client.get("/sign-in", base_url="https://yard.example").headers["Set-Cookie"]


def _sign_in(actor: Actor) -> TestResponse:
    return actor.post("/sign-in", {"name": "Odile", "password": PASSWORD})
