"""Photos on a phone: made small there, kept beside their entry, sent when the server can be reached."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.cli.process import run_process
from tests.kills.proxy import Exchange, Proxy
from tests.offline.phone import Phone
from tests.photographs import SECRET, only_a_picture, opened, picture
from walkabout.records import photos, stories, yards
from walkabout.records.database import close_database, open_database
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.records.soundness import faults

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from tests.server import Server

pytestmark = pytest.mark.browser
Members = tuple[Person, Person]
# The photos in the phone's outbox (static/js/outbox_schema.js), read without the page's own code.
READ_PHOTOS = """() => new Promise((resolve, reject) => {
    const opening = indexedDB.open("walkabout");
    opening.onsuccess = () => {
        const asked = opening.result.transaction("photos").objectStore("photos").getAll();
        asked.onerror = () => reject(asked.error);
        asked.onsuccess = () => {
            opening.result.close();
            resolve(asked.result.map(({ bytes, ...rest }) => ({ ...rest, bytes: Array.from(new Uint8Array(bytes)) })));
        };
    };
})"""


def on_phone(phone: Phone) -> list[dict[str, Any]]:
    """The photos on the phone, with their bytes."""
    found: list[dict[str, Any]] = phone.page.evaluate(READ_PHOTOS)
    return [{**one, "bytes": bytes(one["bytes"])} for one in found]


def open_note(page: Page) -> Any:
    """Open the panel of a note; gives its form."""
    page.locator("summary", has_text="All kinds").tap()
    page.locator('.choice[data-opens="note-note"]').last.tap()
    form = page.locator("form.entry:visible")
    form.wait_for()
    return form


def choose(form: Any, *files: tuple[str, bytes], kind: str = "image/jpeg") -> None:
    """Choose photos as the camera or the gallery hands them over."""
    form.locator("[data-photos] input[type=file]").set_input_files(
        [{"name": name, "mimeType": kind, "buffer": content} for name, content in files]
    )


def sign_out(phone: Phone) -> None:
    """Press "Sign out"."""
    phone.go("/you").locator("form[data-sign-out] button").tap()
    phone.page.wait_for_url("**/sign-in*")


def named(plant: Plant) -> list[str]:
    """The photos of the newest line of the story."""
    lines = stories.story(plant.id, 1)
    return list(lines[0].entry.details.get("photos", [])) if lines else []


def test_a_photo_taken_offline_is_sent_later_to_the_address_of_its_hash(phone: Phone, fig: Plant) -> None:
    page = phone.scan(fig)
    phone.cut()
    form = open_note(page)
    choose(form, ("IMG_1.jpg", picture(4000, 3000, told=True, orientation=6)))
    form.locator(".photo-rows img").wait_for()
    phone.keep_it(page)
    assert phone.states() == ["waiting"]
    (waiting,) = on_phone(phone)
    assert waiting["hash"] == hashlib.sha256(waiting["bytes"]).hexdigest()
    assert SECRET not in waiting["bytes"]
    assert b"Exif" not in waiting["bytes"]
    assert opened(waiting["bytes"]).size == (1536, 2048)  # upright
    assert opened(waiting["bytes"]).getpixel((1500, 30))[0] > 180  # type: ignore[index]
    page.close()  # before anything was sent
    phone.mend()
    phone.go("/")
    phone.wait_until("sent")
    phone.wait_for(lambda: photos.is_kept(waiting["hash"]))
    phone.wait_for(lambda: [one["state"] for one in on_phone(phone)] == ["sent"])
    assert named(fig) == [waiting["hash"]]
    assert only_a_picture(photos.picture_path(waiting["hash"]).read_bytes())
    assert faults() == []

    thumb = f"/photos/{waiting['hash']}/thumb"
    phone.wait_for(lambda: thumb in phone.kept())
    phone.page.evaluate("() => navigator.serviceWorker.ready")
    phone.keep_pages()
    phone.cut()
    page = phone.go(f"/plants/{fig.id}")
    shown = page.locator(f'[data-live="story"] img[src="{thumb}"]')
    shown.scroll_into_view_if_needed()
    page.wait_for_function("(shown) => shown.complete && shown.naturalWidth > 0", arg=shown.element_handle())
    assert shown.get_attribute("alt", timeout=1000).startswith("Photo, Note, ")  # type: ignore[union-attr]


def test_a_photo_that_was_cut_off_is_sent_again_whole_and_kept_once(
    make_phone: Callable[[], Phone],
    server: Server,
    fig: Plant,
    members: Members,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    seen: list[str] = []
    plain = Exchange.pass_on

    def cutting(exchange: Exchange) -> None:
        if not exchange.line.startswith("PUT /sync/photos/"):
            return plain(exchange)
        seen.append(exchange.line)
        if len(seen) == 1:  # in the middle of the photo
            exchange.cut_request(len(exchange.request) // 2)
        if len(seen) == 2:  # the photo came whole, its answer did not
            exchange.cut_answer(0.0, rudely=True)
        return plain(exchange)

    monkeypatch.setattr(Exchange, "pass_on", cutting)  # the wire is the test's own
    with Proxy(server.port) as proxy:
        yards.add_origin(proxy.origin)
        phone = make_phone()
        phone.origin = proxy.origin
        phone.sign_in(members[1])
        page = phone.go(f"/plants/{fig.id}")
        form = open_note(page)
        choose(form, ("a.jpg", picture(2000, 1500, noise=True)))
        form.locator(".photo-rows img").wait_for()
        phone.keep_it(page)
        phone.wait_until("sent")  # the entry does not wait for its photo
        phone.wait_for(lambda: [one["state"] for one in on_phone(phone)] == ["sent"])
    (name,) = named(fig)
    # The page asks before it sends a third time; the browser by itself may send again what met a reset.
    assert set(seen) == {f"PUT /sync/photos/{name}"}
    assert len(seen) in (2, 3)
    assert photos.is_kept(name)
    assert faults() == []


def test_a_photo_of_60_million_pixels_is_made_small(phone: Phone, fig: Plant) -> None:
    form = open_note(phone.scan(fig))
    choose(form, ("large.jpg", picture(9000, 6700)))
    form.locator(".photo-rows img").wait_for(timeout=60_000)
    phone.keep_it(phone.page)
    phone.wait_for(lambda: [one["state"] for one in on_phone(phone)] == ["sent"])
    (kept,) = on_phone(phone)
    assert opened(kept["bytes"]).size == (2048, 1525)
    assert len(kept["bytes"]) <= 2_000_000


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("IMG_7.HEIC", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(4000), "cannot read IMG_7.HEIC, a photo of the kind HEIC"),
        ("list.jpg", b"eggs, flour", "list.jpg is no photo"),
        ("cut.jpg", b"\xff\xd8\xff\xe0", "cut.jpg is no photo"),
    ],
)  # fmt: skip
def test_what_the_browser_cannot_read_is_told_and_loses_nothing(
    phone: Phone, fig: Plant, name: str, content: bytes, words: str
) -> None:
    form = open_note(phone.scan(fig))
    form.locator("textarea").fill("Typed with care")
    choose(form, (name, content), ("good.jpg", picture()))
    form.locator("[data-photos] .error", has_text=words).wait_for()
    assert "the note is as you left it" in form.locator("[data-photos] .error").inner_text()
    assert form.locator(".photo-rows li").count() == 1  # the good one
    assert form.locator("textarea").input_value() == "Typed with care"
    phone.keep_it(phone.page)
    phone.wait_until("sent")
    assert len(named(fig)) == 1


def test_a_photo_is_removed_before_it_is_kept_and_no_more_than_four_are_taken(
    phone: Phone, fig: Plant
) -> None:
    form = open_note(phone.scan(fig))
    choose(form, *[(f"{n}.jpg", picture(40, 40 + n)) for n in range(5)])
    form.locator("[data-photos] .error", has_text="at most 4 photos").wait_for()
    assert form.locator(".photo-rows li").count() == 4
    assert form.locator("[data-photos] input[type=file]").is_disabled()
    form.locator("button", has_text="Remove").first.tap()
    assert form.locator(".photo-rows li").count() == 3
    phone.keep_it(phone.page)  # a photo alone is a note
    phone.wait_until("sent")
    assert len(named(fig)) == 3


def test_a_note_that_was_never_sent_takes_its_photo_with_it(phone: Phone, server: Server, fig: Plant) -> None:
    server.stop()
    phone.page.wait_for_timeout(3_100)  # so that the page knocks before it tries an entry
    form = open_note(phone.scan(fig))
    choose(form, ("a.jpg", picture()))
    form.locator(".photo-rows img").wait_for()
    phone.keep_it(phone.page)
    assert len(on_phone(phone)) == 1
    phone.page.locator(".kept button").tap()
    phone.wait_until()
    phone.wait_for(lambda: on_phone(phone) == [])


def test_a_full_phone_says_so_and_the_note_can_be_kept_alone(phone: Phone, fig: Plant) -> None:
    page = phone.scan(fig)
    form = open_note(page)
    form.locator("textarea").fill("Worth keeping")
    choose(form, ("a.jpg", picture(2000, 1500, noise=True)))
    form.locator(".photo-rows img").wait_for()
    # A disk cannot be filled here without filling it for everybody; the browser's own word for it is put in.
    page.evaluate(
        """() => {
            const put = IDBObjectStore.prototype.put;
            IDBObjectStore.prototype.put = function (value, ...more) {
                if (value.bytes) throw new DOMException("full", "QuotaExceededError");
                return put.call(this, value, ...more);
            };
        }"""
    )
    form.locator("button.keep").tap()
    form.locator("[role=alert]", has_text="no room left for the photo").wait_for()
    assert phone.outbox() == []
    assert form.locator("textarea").input_value() == "Worth keeping"
    form.locator("button", has_text="Remove").tap()
    phone.keep_it(page)
    phone.wait_until("sent")
    assert named(fig) == []


def test_nobodys_photo_is_sent_as_somebody_elses(phone: Phone, fig: Plant, members: Members) -> None:
    phone.context.route("**/sync/photos/**", lambda route: route.abort())
    form = open_note(phone.scan(fig))
    choose(form, ("a.jpg", picture()))
    form.locator(".photo-rows img").wait_for()
    phone.keep_it(phone.page)
    phone.wait_until("sent")
    sign_out(phone)
    phone.sign_in(members[0])
    phone.context.unroute("**/sync/photos/**")
    phone.go("/")
    phone.page.wait_for_timeout(3_000)
    assert [one["state"] for one in on_phone(phone)] == ["waiting"]
    assert not photos.is_kept(named(fig)[0])
    sign_out(phone)
    phone.sign_in(members[1])
    phone.wait_for(lambda: photos.is_kept(named(fig)[0]))


def test_photos_sent_since_the_backup_come_back_after_a_restore(
    phone: Phone, server: Server, fig: Plant, members: Members, tmp_path: Path
) -> None:
    close_database()
    backup = run_process("--data", server.folder, "backup", "--out", tmp_path / "yard.zip")
    assert backup.returncode == 0, backup.stderr
    page = phone.go(f"/plants/{fig.id}")
    form = open_note(page)
    choose(form, ("a.jpg", picture(900, 600, noise=True)))
    form.locator(".photo-rows img").wait_for()
    phone.keep_it(page)
    phone.wait_until("sent")
    phone.wait_for(lambda: [one["state"] for one in on_phone(phone)] == ["sent"])
    (sent,) = on_phone(phone)
    server.stop()
    server.folder.rename(tmp_path / "lost")
    restored = run_process("restore", tmp_path / "yard.zip", "--into", server.folder)
    assert restored.returncode == 0, restored.stderr
    open_database(server.folder)
    assert not photos.is_kept(sent["hash"])
    server.start()
    phone.sign_in(members[1])
    phone.page.wait_for_timeout(3_100)  # so that the page asks who is there (static/js/sending.js)
    phone.page.reload()
    phone.wait_for(lambda: photos.is_kept(sent["hash"]))
    phone.wait_for(lambda: named(fig) == [sent["hash"]])
    assert faults() == []
