"""What makes the pages work without the network is open to all and tells nothing of the yard."""

from __future__ import annotations

import json
import re

from tests.cast import YARD, Cast
from walkabout.assets import STATIC, program_version
from walkabout.web.script_texts import TEXTS

SCRIPTS = sorted((STATIC / "js").glob("*.js"))


def program(cast: Cast) -> dict[str, object]:
    """What the worker's first lines tell it."""
    found = re.search(r"run\((\{.*\})\);", cast.stranger.get("/sw.js").text, re.DOTALL)
    assert found
    told: dict[str, object] = json.loads(found[1])
    return told


def test_the_worker_may_rule_the_whole_site_and_is_asked_for_anew(cast: Cast) -> None:
    answer = cast.stranger.get("/sw.js")
    assert answer.status_code == 200
    assert answer.mimetype == "text/javascript"
    # Service Workers (W3C), section 6.1: the header allows a scope above the script's own folder.
    assert answer.headers["Service-Worker-Allowed"] == "/"
    assert answer.headers["Cache-Control"] == "no-cache"
    assert f'from "/static/{program_version()}/js/worker.js"' in answer.text


def test_every_file_and_page_that_the_worker_keeps_is_there_for_strangers(cast: Cast) -> None:
    told = program(cast)
    assert told["program"] == program_version()
    assert isinstance(told["assets"], list)
    assert isinstance(told["pages"], list)
    for address in [*told["assets"], *told["pages"]]:
        assert cast.stranger.get(address).status_code == 200, address


def test_the_worker_keeps_every_file_that_a_kept_page_names(cast: Cast) -> None:
    told = program(cast)
    assert isinstance(told["assets"], list)
    page = cast.keeper.get("/outbox").text
    named = re.findall(r'(?:src|href|data-texts)="(/(?:static|texts)/[^"]+\.(?:js|css|svg|json)[^"]*)"', page)
    assert len(named) > 5
    assert set(named) <= set(told["assets"])


def test_pages_of_nobody_tell_nothing_of_the_yard_or_of_who_is_signed_in(cast: Cast) -> None:
    assert cast.keeper.person
    for address in ("/outbox", "/offline"):
        for actor in cast:
            page = actor.get(address)
            assert page.status_code == 200
            assert str(YARD["name"]) not in page.text
            assert cast.keeper.person.id not in page.text
            assert "csrf_token" not in page.text
            assert "X-Walkabout-Person" not in page.headers


def test_the_manifest_can_be_installed(cast: Cast) -> None:
    manifest = cast.stranger.get("/manifest.webmanifest").get_json(force=True)
    # web.dev, "What does it take to be installable?": name, start_url, display, icons of 192 and 512 pixels.
    assert manifest["name"]
    assert (manifest["start_url"], manifest["scope"], manifest["display"]) == ("/", "/", "standalone")
    assert {"192x192", "512x512"} <= {icon["sizes"] for icon in manifest["icons"]}
    assert "maskable" in {icon["purpose"] for icon in manifest["icons"]}
    assert "prefer_related_applications" not in manifest
    for icon in manifest["icons"]:
        assert cast.stranger.get(icon["src"]).status_code == 200


def test_the_scripts_ask_for_texts_that_are_there_and_for_all_of_them(cast: Cast) -> None:
    told = cast.stranger.get("/texts/en.json").json
    assert told is not None
    scripts = "\n".join(path.read_text() for path in SCRIPTS)
    asked = set(re.findall(r'\btext\(\s*"([a-z-]+)"', scripts))
    either = re.findall(r'\btext\([^()]*\? "([a-z-]+)" : "([a-z-]+)"', scripts)
    asked |= {name for pair in either for name in pair}
    made = {
        f"{name}{more}" for name in ("send-again", "delete") for more in ("", "-what")
    }  # outbox_page.js, button()
    made |= {f"{name}{more}" for name in ("correct", "take-back") for more in ("", "-what")}  # story_lines.js
    made |= {
        f"{name}{more}" for name in ("kept", "undone") for more in ("", "-many", "-back")
    }  # kept_line.js
    assert asked | made == set(told) == set(TEXTS)


def test_a_text_that_counts_has_a_form_for_one_and_for_more(cast: Cast) -> None:
    told = cast.stranger.get("/texts/en.json").json
    assert told is not None
    assert told["waiting"].keys() == {"one", "other"}


def test_texts_of_a_language_that_is_not_there_are_not_found(cast: Cast) -> None:
    assert cast.stranger.get("/texts/xx.json").status_code == 404
