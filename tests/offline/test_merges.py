"""A plant that was recorded twice, and phones that knew it as two."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.cast import plant_one
from tests.offline.phone import Phone
from walkabout.records import kin, merges, stories
from walkabout.records.people import Person
from walkabout.records.plants import Plant

pytestmark = pytest.mark.browser


def test_a_note_that_waited_is_told_by_the_survivor_and_the_double_leads_there(
    fig: Plant, make_phone: Callable[[], Phone], members: tuple[Person, Person]
) -> None:
    twice = plant_one("Fig at the gate", "fig")
    phone = make_phone()
    phone.sign_in(members[1])
    assert f"/plants/{twice.id}" in phone.keep_pages()
    phone.cut()
    phone.note("Scale on two shoots", phone.go(f"/T/{twice.code}"))
    merges.merge_plants(twice.id, fig.id)  # elsewhere, meanwhile
    phone.mend()
    phone.wait_until("sent")
    merged = kin.kin(fig.id).merged_ids
    assert stories.story(fig.id, 1, merged=merged)[0].entry.plant_id == twice.id
    assert f"/plants/{twice.id}" not in phone.keep_pages()
    phone.cut()
    page = phone.go(f"/T/{twice.code}")  # its tag still hangs
    assert page.locator("h1").inner_text() == fig.name
    page.get_by_text("Scale on two shoots").first.wait_for()
    phone.mend()
    page = phone.go(f"/plants/{twice.id}")
    page.wait_for_url(f"{phone.origin}/plants/{fig.id}")
