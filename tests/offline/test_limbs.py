"""The tag of a limb, without the network: the page of its plant with that limb marked, and notes about it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.offline.phone import Phone
from walkabout.records import limbs, stories, tags
from walkabout.records.limbs import LimbFacts
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.tags.codes import make_code

pytestmark = pytest.mark.browser


def test_a_limb_tag_marks_the_limb_and_a_note_is_about_it(
    fig: Plant, make_phone: Callable[[], Phone], members: tuple[Person, Person]
) -> None:
    low, high = (limbs.add_limb(fig.id, LimbFacts(name)) for name in ("low one", "high one"))
    code = tags.issue_tag(fig.id, make_code, limb_id=low.id).code
    phone = make_phone()
    phone.sign_in(members[1])
    phone.keep_pages()
    phone.cut()
    page = phone.go(f"/t/{code.lower()}")
    page.wait_for_selector(f'[data-limb="{low.id}"][aria-current="true"] .opened:visible')
    assert page.locator("[aria-current]").count() == 1
    page.locator("summary", has_text="All kinds").tap()
    page.locator('a.choice[data-opens="note-note"]').last.tap()
    page.locator("#note-note textarea").fill("Canker")
    assert page.locator(f'#note-note input[name="limb"][value="{low.id}"]').is_checked()
    phone.keep_it(page)
    (waiting,) = phone.outbox()
    assert waiting["entry"]["details"] == {"words": "Canker", "limb": low.id}
    # Opened by the plant's own tag, no limb is marked, and a note is about the whole plant.
    page = phone.go(f"/T/{fig.code}")
    page.locator("#outbox-line a").wait_for()
    assert page.locator("[aria-current]").count() == 0
    assert page.locator(f'#note-note input[name="limb"][value="{high.id}"]').is_checked() is False
    phone.mend()
    page = phone.go(f"/T/{code}")
    page.get_by_text("Canker, on limb low one").first.wait_for()
    assert stories.story(fig.id, 1)[0].entry.details["limb"] == low.id
