"""The owner's page of the records; a keeper and outsiders are refused."""

from __future__ import annotations

import urllib.request
from datetime import timedelta
from pathlib import Path

import pytest
from flask import Flask

from tests.cast import NOW, TODAY, Cast
from tests.photo_files import lay_photo
from tests.server import Server
from walkabout.exports.back import read_export
from walkabout.jobs.backups import Copies
from walkabout.records import people
from walkabout.records.backup import verified
from walkabout.records.backup_log import note_failure, read_log
from walkabout.records.database import FILE_NAME
from walkabout.records.plants import Plant
from walkabout.sync.pages import listing, listing_token, yard_page_version

PAGE = "/yard/records"


def test_the_owner_makes_a_backup_and_sees_what_it_holds(cast: Cast, yard: Path, plant: Plant) -> None:
    told = cast.owner.get(PAGE)
    assert told.status_code == 200
    assert "No backup has been made yet" in told.text
    made = cast.owner.post(f"{PAGE}/backup", page=PAGE, follow_redirects=True)
    assert "A backup was made, read again, and is whole." in made.text
    log = read_log(yard)
    assert log.good is not None
    assert verified(Path(log.good.path), "x").counts["plant"] == 1
    assert log.good.path in made.text
    assert "plants: 1, entries: 0, photos: 0 · " in made.text
    assert "on the same disk as the yard" in made.text
    assert f'href="{PAGE}"' in cast.owner.get("/you").text


def test_others_are_refused(cast: Cast, yard: Path) -> None:
    assert f'href="{PAGE}"' not in cast.keeper.get("/you").text
    for path in (PAGE, f"{PAGE}/export"):
        assert cast.keeper.get(path).status_code == 403
        for outsider in cast.outsiders:
            assert outsider.get(path).status_code == 302
    token = cast.keeper.token("/you")
    assert cast.keeper.client.post(f"{PAGE}/backup", data={"csrf_token": token}).status_code == 403
    for outsider in cast.outsiders:
        token = outsider.token("/sign-in")
        assert outsider.client.post(f"{PAGE}/backup", data={"csrf_token": token}).status_code == 403
    assert cast.owner.client.post(f"{PAGE}/backup").status_code == 400, "without a form token"
    assert not (yard / "backups").exists()


def test_everything_comes_out_in_one_zip(
    cast: Cast, yard: Path, plant: Plant, members: tuple[people.Person, people.Person], tmp_path: Path
) -> None:
    lay_photo(yard, members[1], b"a photo" * 200_000)
    answer = cast.owner.get(f"{PAGE}/export")
    assert answer.status_code == 200
    assert answer.is_streamed
    assert answer.headers["Content-Disposition"] == "attachment; filename=walkabout-export-2026-11-24.zip"
    assert answer.headers["Cache-Control"] == "private, no-cache"
    (tmp_path / "out.zip").write_bytes(answer.data)
    found = read_export(tmp_path / "out.zip")
    assert [row["name"] for row in found.records["plant"]] == ["Old gate fig"]
    assert found.missing == ()


def test_the_served_product_streams_it(
    server: Server, cast: Cast, yard: Path, members: tuple[people.Person, people.Person], tmp_path: Path
) -> None:
    lay_photo(yard, members[1], b"a photo" * 400_000)
    cookie = cast.owner.client.get_cookie("walkabout")
    assert cookie is not None
    # The key that signs the cookie is that of the yard, so the served product knows it too.
    request = urllib.request.Request(
        f"{server.origin}{PAGE}/export", headers={"Cookie": f"walkabout={cookie.value}"}
    )
    with urllib.request.urlopen(request) as answer:
        assert answer.headers["Content-Type"] == "application/zip"
        assert answer.headers["Content-Length"] is None
        (tmp_path / "out.zip").write_bytes(answer.read())
    assert len(read_export(tmp_path / "out.zip").records["photo"]) == 1


def test_a_backup_that_fails_says_why_and_what_to_do(
    app: Flask, cast: Cast, yard: Path, tmp_path: Path
) -> None:
    app.config["BACKUPS"] = Copies(yard, tmp_path / "usb")
    told = cast.owner.post(f"{PAGE}/backup", page=PAGE, follow_redirects=True)
    assert "No backup was made." in told.text
    assert "The last try failed (yesterday, 21:30)" in told.text or "The last try failed (today" in told.text
    assert "Plug its disk in" in told.text


def test_the_owner_alone_is_warned_on_the_page_that_is_opened_daily(
    app: Flask, cast: Cast, yard: Path, plant: Plant
) -> None:
    words = "The last try to back up the yard failed."
    assert words not in cast.owner.get("/").text
    before = yard_page_version(TODAY)
    note_failure(yard, NOW, "The disk is full.")
    assert words in cast.owner.get("/").text
    assert words not in cast.keeper.get("/").text
    failed = yard_page_version(TODAY)
    assert failed != before, "a phone that keeps the page would not see it"
    assert {page.path: page.version for page in listing("x", TODAY).pages}["/"] == failed
    assert listing("x", TODAY).token == listing_token("x", TODAY)
    app.config["BACKUPS"].make(NOW)
    assert words not in cast.owner.get("/").text
    assert yard_page_version(TODAY) == before
    app.config["CLOCK"] = lambda: NOW + timedelta(days=9)
    told = cast.owner.get("/").text
    assert "The last good backup of the yard is of Tue 24 Nov." in told
    assert "The last good backup is older than 3 days." in cast.owner.get(PAGE).text


@pytest.mark.parametrize("address", [PAGE, f"{PAGE}/export"])
def test_neither_is_a_page_that_phones_keep(cast: Cast, plant: Plant, address: str) -> None:
    assert "X-Walkabout-Person" not in cast.owner.get(address).headers
    assert address not in {page.path for page in listing("x", TODAY).pages}


def test_a_damaged_database_is_told_and_the_last_backup_stays(app: Flask, cast: Cast, yard: Path) -> None:
    cast.owner.post(f"{PAGE}/backup", page=PAGE)
    before = list((yard / "backups").iterdir())
    app.config["BACKUPS"] = Copies(yard.parent / "other")
    (yard.parent / "other").mkdir()
    (yard.parent / "other" / FILE_NAME).write_bytes(b"no database" * 999)
    told = cast.owner.post(f"{PAGE}/backup", page=PAGE, follow_redirects=True)
    assert "damaged or not a database. Restore a backup copy." in told.text
    assert list((yard / "backups").iterdir()) == before
