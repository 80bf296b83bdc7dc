"""Which crop of a plant that bears two at once: breba or main crop, last year's or this year's fruit.

Fruit that may hang until the next bloom is named by the year of the bloom that it came from. Spring bloom falls into
one civil year north and south of the equator, so the year names it.
"""

from typing import Any

from walkabout.entries.facts import KindFacts
from walkabout.entries.texts import gettext
from walkabout.reference.stages import long_hanging, track_words

_FIRST_YEAR = 1900
_OWN_BLOOM_FROM = 7  # month from which fruit of the year's own bloom is the likelier (judgement)


def bloom_years(facts: KindFacts) -> tuple[tuple[str, Any], ...]:
    """(year, words) of the blooms that fruit can come from now, the likelier first; none where one crop hangs."""
    if facts.crop not in long_hanging():
        return ()
    this = facts.today.year
    years = (this, this - 1) if facts.today.month >= _OWN_BLOOM_FROM else (this - 1, this)
    return tuple((str(year), bloom_words(str(year))) for year in years)


def bloom_words(year: str) -> str:
    """Such as "Bloom of 2025"."""
    return gettext("Bloom of %(year)s", year=year)


def is_bloom_year(text: str) -> bool:
    """Whether a text is a year that can be kept; a later reader may be told it with the crop corrected."""
    return len(text) == 4 and text.isascii() and text.isdecimal() and int(text) >= _FIRST_YEAR


def which_crop(details: Any) -> str | None:
    """Words for the crop that an entry names, such as "Main crop" or "Bloom of 2025"; None when it names none."""
    if "track" in details:
        return track_words(details["track"])
    return bloom_words(details["bloom_year"]) if "bloom_year" in details else None
