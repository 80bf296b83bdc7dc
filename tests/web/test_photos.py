"""Photos over HTTP: the exchange with phones, the pictures for members, and the form that needs no script."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import pytest
from werkzeug.datastructures import FileStorage, MultiDict
from werkzeug.test import encode_multipart

from tests.cast import ORIGIN, Actor, Cast, new_entry
from tests.entries.test_pictures import bomb
from tests.photographs import SECRET, only_a_picture, opened, picture
from walkabout.records import entries, photos, stories, yards
from walkabout.records.entries import keep_entries
from walkabout.records.soundness import faults
from walkabout.web.posted_photos import MOST_POSTED_BYTES

if TYPE_CHECKING:
    from pathlib import Path

    from werkzeug.test import TestResponse

    from walkabout.records.plants import Plant

HEADERS = {"X-Walkabout": "photo", "Origin": ORIGIN, "Sec-Fetch-Site": "same-origin"}
SENT = picture(told=True)
NAME = photos.name_of(SENT)


def put(
    actor: Actor,
    sent: bytes = SENT,
    name: str | None = None,
    headers: dict[str, str | None] | None = None,
    **more: Any,
) -> TestResponse:
    """Send a photo as a phone does; a header given as None is left out."""
    merged = {**HEADERS, **(headers or {})}
    more = {"content_type": "image/jpeg", **more}
    return actor.client.put(
        f"/sync/photos/{name or photos.name_of(sent)}",
        data=sent,
        headers={key: value for key, value in merged.items() if value is not None},
        **more,
    )


def turned_away(response: TestResponse, status: int, words: str, yard: Path) -> None:
    """A problem by RFC 9457 that says so, and nothing kept."""
    assert response.status_code == status
    assert response.mimetype == "application/problem+json"
    assert response.json is not None
    assert words in response.json["detail"]
    assert not [path for path in (yard / "photos").rglob("*") if path.is_file()]


def note_with(plant: Plant, cast: Cast, *names: str) -> str:
    assert cast.keeper.person is not None
    entry = new_entry(plant, cast.keeper.person, "note", words="Sooty", photos=list(names))
    keep_entries([entry])
    return entry.id


def test_a_photo_sent_twice_is_kept_once(cast: Cast) -> None:
    assert cast.keeper.get(f"/sync/photos/{NAME}").json["word"] == "missing"  # type: ignore[index]
    first, second = put(cast.keeper), put(cast.owner)
    assert (first.status_code, second.status_code) == (200, 200)
    assert first.json == {
        "word": "stored",
        "database": yards.database_id(),
        "server_time": "2026-11-25T02:30:00.000+00:00",
    }
    assert second.json is not None
    assert second.json["word"] == "here"
    assert cast.keeper.get(f"/sync/photos/{NAME}").json["word"] == "here"  # type: ignore[index]
    found = photos.photo(NAME)
    assert found is not None
    assert cast.keeper.person is not None
    assert found.author_id == cast.keeper.person.id
    assert faults() == []


# Source of the rules: OWASP Cross-Site Request Forgery Prevention Cheat Sheet, as for entries.
@pytest.mark.parametrize(
    ("headers", "status", "words"),
    [
        ({"Origin": "https://elsewhere.example"}, 403, "not one of the yard's"),
        ({"Sec-Fetch-Site": "cross-site"}, 403, "not one of the yard's"),
        ({"Origin": None, "Sec-Fetch-Site": None}, 403, "does not say"),
        ({"X-Walkabout": None}, 400, "X-Walkabout is missing"),
        ({"X-Walkabout": "entries"}, 400, "X-Walkabout is missing"),
        ({"X-Walkabout-Person": "somebody else"}, 403, "Somebody else"),
    ],
)
def test_a_request_that_another_site_could_make_is_turned_away(
    cast: Cast, yard: Path, headers: dict[str, str | None], status: int, words: str
) -> None:
    turned_away(put(cast.keeper, headers=headers), status, words, yard)


@pytest.mark.parametrize(
    "kind", ["text/plain", "multipart/form-data", "image/svg+xml", "application/json", ""]
)
def test_only_a_picture_is_taken(cast: Cast, yard: Path, kind: str) -> None:
    turned_away(put(cast.keeper, content_type=kind), 415, "sent as JPEG", yard)


@pytest.mark.parametrize(
    ("sent", "status", "words"),
    [
        (b"", 422, "no JPEG"),
        (b"x" * 1000, 422, "no JPEG"),
        (SENT[:2000], 422, "cut off"),
        (bomb(14_000, 14_000), 422, "too large to be opened"),
        (picture(noise=True, width=2000, height=2000, quality=100), 413, "at most 2 MB"),
        (b"\xff" * 1_500_000, 422, "no JPEG"),
    ],
    ids=["empty", "words", "cut", "bomb", "too many bytes", "more than a batch of entries"],
)
def test_what_cannot_be_kept_is_told_so(cast: Cast, yard: Path, sent: bytes, status: int, words: str) -> None:
    turned_away(put(cast.keeper, sent), status, words, yard)


@pytest.mark.parametrize("name", ["0" * 64, NAME[:-1], NAME.upper(), "x", "..%2f..%2fescape"])
def test_another_name_than_the_bytes_make_is_not_taken(cast: Cast, yard: Path, name: str) -> None:
    answer = put(cast.keeper, name=name)
    if "%" in name:
        assert answer.status_code in (404, 405, 409)
    else:
        turned_away(answer, 409, "sent once more", yard)
    assert not list(yard.parent.rglob("escape*"))


def test_outsiders_neither_send_nor_see(cast: Cast, plant: Plant, yard: Path) -> None:
    for outsider in cast.outsiders:
        turned_away(put(outsider), 401, "Sign in to send it", yard)
    put(cast.keeper)
    for outsider in cast.outsiders:
        assert outsider.get("/sync/photos").status_code == 401
        assert outsider.get(f"/sync/photos/{NAME}").status_code == 401
        for address in (f"/photos/{NAME}", f"/photos/{NAME}/thumb"):
            assert outsider.get(address).status_code == 302


def test_members_see_only_a_picture(cast: Cast) -> None:
    put(cast.keeper)
    for address in (f"/photos/{NAME}", f"/photos/{NAME}/thumb"):
        answer = cast.owner.get(address)
        assert (answer.status_code, answer.mimetype) == (200, "image/jpeg")
        assert answer.headers["Cache-Control"] == "private, max-age=31536000, immutable"
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert only_a_picture(answer.data)
        assert SECRET not in answer.data
    assert len(answer.data) <= 20_000
    for address in (f"/photos/{'0' * 64}", "/photos/x/thumb", "/photos/..%2f..%2fwalkabout.sqlite3"):
        assert cast.owner.get(address).status_code == 404
    photos.picture_path(NAME).unlink()
    assert cast.owner.get(f"/photos/{NAME}").status_code == 404


def test_the_page_says_that_a_photo_is_on_its_way_until_it_comes(cast: Cast, plant: Plant) -> None:
    entry = note_with(plant, cast, NAME, photos.name_of(picture(9, 9)))
    page = cast.keeper.get(f"/plants/{plant.id}")
    assert "2 photos on their way" in page.text
    assert "/thumb" not in page.text
    assert cast.keeper.get(f"/entries/{entry}").text.count("on its way") == 2
    put(cast.keeper)
    fresher = cast.keeper.get(f"/plants/{plant.id}", headers={"If-None-Match": page.headers["ETag"]})
    assert fresher.status_code == 200
    assert f'src="/photos/{NAME}/thumb" alt="Photo, Note, today"' in fresher.text
    assert "1 photo on its way" in fresher.text
    whole = cast.keeper.get(f"/entries/{entry}").text
    assert f'<img src="/photos/{NAME}" alt="Photo, Note, today (1)" width="640" height="480"' in whole


def test_phones_are_told_which_small_pictures_to_keep(cast: Cast, plant: Plant) -> None:
    empty = cast.keeper.get("/sync/photos").json
    assert empty is not None
    assert empty["photos"] == []
    note_with(plant, cast, NAME)
    put(cast.keeper)
    told = cast.keeper.get(f"/sync/photos?have={empty['token']}").json
    assert told is not None
    assert cast.keeper.person is not None
    assert (told["person"], told["photos"]) == (cast.keeper.person.id, [NAME])
    assert cast.keeper.get(f"/sync/photos?have={told['token']}").status_code == 304
    assert cast.owner.get(f"/sync/photos?have={told['token']}").status_code == 200


def post(
    actor: Actor, plant: Plant, *files: tuple[bytes, str], words: str = "Sooty", **fields: Any
) -> TestResponse:
    """Fill the online form in and press its button."""
    address = f"/plants/{plant.id}/note/note"
    page = actor.get(address).text
    entry_id = page.split('name="entry_id"', 1)[1].split('value="', 1)[1].split('"', 1)[0]
    sent = {"entry_id": entry_id, "seen_on": "2026-11-24", "words": words, **fields}
    sent["csrf_token"] = actor.token(address)
    # Made here in one piece, because the test client would leave a temporary file open.
    boundary, body = encode_multipart(
        MultiDict([*sent.items(), *(("photo", FileStorage(io.BytesIO(file), name)) for file, name in files)])
    )
    return actor.client.post(address, data=body, content_type=f"multipart/form-data; boundary={boundary}")


def told_photos(plant: Plant) -> list[str]:
    (line,) = stories.story(plant.id, 9)
    return list(line.entry.details.get("photos", []))


def test_without_script_originals_are_taken_and_made_small(cast: Cast, plant: Plant) -> None:
    original = picture(6000, 4000, told=True, quality=95)
    assert post(cast.keeper, plant, (original, "IMG_1.JPG"), (SENT, "IMG_2.JPG")).status_code == 302
    assert told_photos(plant) == [photos.name_of(original), NAME]
    kept = photos.picture_path(photos.name_of(original)).read_bytes()
    assert opened(kept).size == (2048, 1365)
    assert only_a_picture(kept)
    assert faults() == []


def test_a_form_without_files_is_as_before(cast: Cast, plant: Plant) -> None:
    assert post(cast.keeper, plant, (b"", "")).status_code == 302
    assert told_photos(plant) == []


def test_a_photo_alone_is_a_note(cast: Cast, plant: Plant) -> None:
    assert post(cast.keeper, plant, (SENT, "a.jpg"), words="").status_code == 302
    assert told_photos(plant) == [NAME]
    assert "1 photo" in cast.keeper.get(f"/plants/{plant.id}").text


@pytest.mark.parametrize(
    ("file", "said"),
    [
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(200), "no JPEG, PNG or WebP picture"),
        (SENT[:3000], "cut off"),
        (bomb(14_000, 14_000), "too large to be opened"),
        (SENT + bytes(25_000_000), "more than 25 MB"),
    ],
    ids=["heic", "cut", "bomb", "large"],
)
def test_what_cannot_be_kept_loses_nothing_of_the_form(
    cast: Cast, plant: Plant, file: bytes, said: str
) -> None:
    good = picture(30, 20)
    answer = post(cast.keeper, plant, (good, "good.jpg"), (file, "bad one.jpg"), words="Typed with care")
    assert answer.status_code == 422
    assert "bad one.jpg: " in answer.text
    assert said in answer.text
    assert "Typed with care" in answer.text
    name = photos.name_of(good)
    assert f'name="photos" value="{name}" checked' in answer.text
    assert entries.count_entries() == 0
    # The good one is here already and stands ready.
    assert post(cast.keeper, plant, words="Typed with care", photos=name).status_code == 302
    assert told_photos(plant) == [name]


def test_more_than_the_form_takes_is_told_so(cast: Cast, plant: Plant) -> None:
    address, boundary = f"/plants/{plant.id}/note/note", "multipart/form-data; boundary=x"
    answer = cast.keeper.client.post(address, data=bytes(MOST_POSTED_BYTES + 1), content_type=boundary)
    assert answer.status_code == 413
    assert "what you wrote still stands" in answer.text
    five = [(picture(10, 10 + n), f"{n}.jpg") for n in range(5)]
    answer = post(cast.keeper, plant, *five)
    assert answer.status_code == 422
    assert "at most 4 photos" in answer.text
    assert entries.count_entries() == 0


def test_strangers_cannot_post_much(cast: Cast, plant: Plant) -> None:
    for outsider in cast.outsiders:
        answer = outsider.client.post(
            f"/plants/{plant.id}/note/note", data={"photo": (io.BytesIO(SENT), "a.jpg")}
        )
        assert answer.status_code in (400, 403)
    assert photos.photo(NAME) is None


def test_a_correction_leaves_photos_out_and_adds_some(cast: Cast, plant: Plant) -> None:
    post(cast.keeper, plant, (SENT, "a.jpg"), (picture(9, 9), "b.jpg"))
    (line,) = stories.story(plant.id, 9)
    address = f"/entries/{line.entry.id}/correct"
    page = cast.keeper.get(address).text
    assert page.count('name="photos"') == 2
    third = picture(8, 8)
    fields = {
        "seen_on": "2026-11-24",
        "words": "Sooty",
        "photos": [NAME],
        "photo": [(io.BytesIO(third), "c.jpg")],
    }
    assert cast.keeper.post(address, fields).status_code == 302
    assert told_photos(plant) == [NAME, photos.name_of(third)]
