"""From a printed tag to an entry in the database, with no network in between."""

from __future__ import annotations

import pytest

from tests.offline.phone import Phone
from walkabout.records.plants import Plant

pytestmark = pytest.mark.browser


def test_every_page_is_kept_after_one_visit(phone: Phone, mandarin: Plant, fig: Plant) -> None:
    kept = phone.kept()
    assert {"/", "/help", "/outbox", "/offline", f"/plants/{fig.id}", f"/plants/{mandarin.id}"} <= set(kept)


def test_a_tag_opens_its_plant_in_a_new_tab_with_the_network_cut(phone: Phone, mandarin: Plant) -> None:
    phone.cut()
    page = phone.scan(mandarin)
    assert page.locator("h1").inner_text() == mandarin.name
    assert "as of" in page.locator(".outbox").inner_text()
