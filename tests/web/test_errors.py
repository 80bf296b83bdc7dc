"""What a person is told when something goes wrong: what happened, what is safe, what to do.

Sources: RFC 9110 section 15 (status codes), RFC 9457 (problem details).
"""

import sqlite3
from pathlib import Path

import pytest

from tests.cast import TODAY, Cast
from walkabout.records import entries
from walkabout.records.database import database
from walkabout.records.plants import Plant


@pytest.mark.parametrize(
    ("method", "address", "status", "words"),
    [
        ("GET", "/no/such/page", 404, "There is no such page"),
        ("POST", "/help", 405, "takes no such request"),
        ("DELETE", "/", 405, "takes no such request"),
        ("GET", "/sync/entries", 405, "takes no such request"),
    ],
)
def test_errors_are_pages_in_plain_words(
    cast: Cast, method: str, address: str, status: int, words: str
) -> None:
    token = cast.owner.token("/you")
    answer = cast.owner.client.open(
        address, method=method, data={"csrf_token": token} if method != "GET" else None
    )
    assert answer.status_code == status
    assert words in answer.text
    assert "Nothing is" in answer.text
    assert answer.headers["Cache-Control"] == "no-store"


def test_a_script_is_told_in_json(cast: Cast) -> None:
    answer = cast.owner.get("/no/such/page", headers={"Accept": "application/json"})
    assert answer.status_code == 404
    assert answer.mimetype == "application/problem+json"
    assert answer.json is not None
    assert answer.json["status"] == 404
    assert {"type", "title", "detail"} <= answer.json.keys()


def test_a_full_disk_is_told_and_nothing_is_half_kept(cast: Cast, plant: Plant) -> None:
    address = f"/plants/{plant.id}/note/note"
    token = cast.keeper.token(address)
    # SQLite's own limit stands for a full disk: the same error comes from the same place.
    pages = database.execute_sql("PRAGMA page_count").fetchone()[0]
    database.execute_sql(f"PRAGMA max_page_count = {pages}")
    fields = {"csrf_token": token, "seen_on": TODAY.isoformat()}
    for number in range(200):
        answer = cast.keeper.client.post(address, data={**fields, "words": f"{number} " + "x" * 1900})
        if answer.status_code != 302:
            break
    assert answer.status_code == 507
    assert "safe" in answer.text
    kept = entries.count_entries()
    database.execute_sql("PRAGMA max_page_count = 1073741823")
    assert cast.keeper.client.post(address, data={**fields, "words": "Room again"}).status_code == 302
    assert entries.count_entries() == kept + 1


def test_a_broken_database_still_gives_a_page(cast: Cast, yard: Path) -> None:
    with sqlite3.connect(yard / "walkabout.sqlite3") as other:
        other.execute("ALTER TABLE plant RENAME TO lost")
    other.close()
    answer = cast.owner.get("/")
    assert answer.status_code == 500
    assert "What was kept before is safe" in answer.text
    assert "Traceback" not in answer.text
    assert "no such table" not in answer.text
