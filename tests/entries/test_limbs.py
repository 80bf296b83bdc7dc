"""Which limb an entry is about."""

from datetime import date

import pytest

from walkabout.entries import kinds
from walkabout.entries.facts import KindFacts
from walkabout.errors import BadInput

LOW, HIGH, GONE = (f"00000000-0000-4000-8000-00000000000{number}" for number in range(3))
BARE = KindFacts("apple", grafted=True, units="metric", today=date(2026, 5, 1))
FACTS = KindFacts(
    "apple",
    grafted=True,
    units="metric",
    today=date(2026, 5, 1),
    limbs=((LOW, "low one"), (HIGH, "high one")),
    ended_limbs=((GONE, "broken one"),),
)


def test_every_kind_offers_the_growing_limbs_and_none_where_there_are_none() -> None:
    for kind in kinds.KINDS.values():
        if kind.on_plants:
            assert [value for value, _words in kind.draw(FACTS).limb.choices] == [LOW, HIGH]
            assert not kind.draw(BARE).limb.is_offered


def test_the_limb_is_kept_and_told_in_one_place_for_all_kinds() -> None:
    kept = kinds.check("note", {"words": "Canker", "limb": LOW}, FACTS)
    assert kept == {"words": "Canker", "limb": LOW}
    assert kinds.check("note", kept, FACTS) == kept
    assert kinds.headline("note", kept, FACTS) == "Canker, on limb low one"
    assert kinds.headline("note", {**kept, "limb": GONE}, FACTS) == "Canker, on limb broken one"
    named = KindFacts("apple", True, "us", date(2026, 5, 1), limbs=((LOW, "West limb"),))
    assert kinds.headline("note", kept, named) == "Canker, on West limb"
    assert kinds.headline("note", kept, BARE) == "Canker, on a limb"
    assert kinds.headline("note", {"words": "Canker"}, FACTS) == "Canker"


def test_an_entry_is_judged_without_the_limbs_of_its_plant() -> None:
    """A limb may have ended, or moved with a merge, while the entry waited on a phone."""
    assert kinds.check("note", {"words": "Canker", "limb": GONE}, BARE)["limb"] == GONE
    for wrong in ("the low one", "../x", LOW + "\n0", 7, [LOW]):
        with pytest.raises(BadInput):
            kinds.check("note", {"words": "Canker", "limb": wrong}, FACTS)
