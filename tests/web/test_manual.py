"""The manual: one page that a phone keeps, whose links lead somewhere."""

import re

from tests.cast import Cast
from walkabout.web.manual import CHAPTERS, chapters


def test_everybody_may_read_it(cast: Cast) -> None:
    for actor in cast:
        page = actor.get("/help").text
        for chapter in chapters():
            assert chapter.title in page
            assert len(chapter.body) > 100


def test_its_links_lead_somewhere(cast: Cast) -> None:
    page = cast.owner.get("/help").text
    anchors = set(re.findall(r' id="([^"]+)"', page))
    assert set(CHAPTERS) <= anchors
    for address in re.findall(r'href="([^"]+)"', page):
        if address.startswith("#"):
            assert address[1:] in anchors, address
        else:
            assert cast.owner.get(address).status_code == 200, address
