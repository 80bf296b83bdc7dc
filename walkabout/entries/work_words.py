"""How each work is told in a headline: its own words and what else was noted of it."""

from collections.abc import Callable, Mapping
from typing import Any

from walkabout.entries.answers import joined
from walkabout.entries.fields import plain_number
from walkabout.entries.lengths import short_words
from walkabout.entries.texts import gettext, ngettext
from walkabout.entries.work_amounts import mass_words, rate_words, volume_words
from walkabout.reference.works import answers, works

_Told = Callable[[str, Mapping[str, Any], str], str]


def told(key: str, details: Mapping[str, Any], units: str) -> str:
    """Such as "Thinned to 40 fruits", in the units "us" or "metric"; a work that is not in the table, by its key."""
    work = works().get(key)
    words = work.words if work else key
    return _WITH_MORE[key](words, details, units) if key in _WITH_MORE else words


def lower_first(words: str) -> str:
    """The words as they stand within a line."""
    return words[:1].lower() + words[1:]


def _pruned(words: str, details: Mapping[str, Any], _units: str) -> str:
    aims = _listed("pruned_for", details)
    return gettext("%(work)s for %(aims)s", work=words, aims=aims) if aims else words


def _protected(words: str, details: Mapping[str, Any], _units: str) -> str:
    means = _listed("protected_with", details)
    return gettext("%(work)s with %(means)s", work=words, means=means) if means else words


def _thinned(words: str, details: Mapping[str, Any], units: str) -> str:
    left, space = details.get("left_count"), details.get("spacing_cm")
    fruits = None if left is None else ngettext("%(num)s fruit", "%(num)s fruits", left)
    return joined(
        gettext("%(work)s to %(fruits)s", work=words, fruits=fruits) if fruits else words,
        None if space is None else gettext("%(space)s apart", space=short_words(space, units)),
    )


def _fed(words: str, details: Mapping[str, Any], units: str) -> str:
    amount = joined(details.get("analysis"), mass_words(details.get("feed_kg"), units))
    return f"{words} {amount}" if amount else words


def _watered(words: str, details: Mapping[str, Any], units: str) -> str:
    minutes = details.get("water_minutes")
    took = None if minutes is None else gettext("%(number)s minutes", number=plain_number(minutes))
    amount = joined(volume_words(details.get("water_l"), units), took)
    return f"{words} {amount}" if amount else words


def _sprayed(words: str, details: Mapping[str, Any], units: str) -> str:
    days, hours = details.get("days_before_harvest"), details.get("hours_before_reentry")
    return joined(
        f"{words} {details['product']}" if "product" in details else words,
        rate_words(details, units),
        volume_words(details.get("spray_l"), units),
        ngettext("no pick for %(num)s day", "no pick for %(num)s days", days) if days else None,
        gettext("stay out %(hours)s h", hours=plain_number(hours)) if hours else None,
    )


def _repotted(words: str, details: Mapping[str, Any], units: str) -> str:
    volume = volume_words(details.get("container_l"), units)
    return gettext("%(work)s into %(volume)s", work=words, volume=volume) if volume else words


def _grafted(words: str, details: Mapping[str, Any], _units: str) -> str:
    return f"{words} {details['grafted_cultivar']}" if "grafted_cultivar" in details else words


def _listed(field: str, details: Mapping[str, Any]) -> str:
    """The answers of a field in one line: "shape, size and light"."""
    known = {answer.key: answer.told for answer in answers(field)}
    *others, last = [known.get(key, key) for key in details.get(field, ())] or [""]
    return gettext("%(others)s and %(last)s", others=", ".join(others), last=last) if others else last


_WITH_MORE: Mapping[str, _Told] = {
    "pruned": _pruned,
    "protected": _protected,
    "thinned": _thinned,
    "fed": _fed,
    "watered": _watered,
    "sprayed": _sprayed,
    "repotted": _repotted,
    "grafted": _grafted,
}
