"""Work done: several works at once, what more there is to say of each, or a task ticked off.

Details: `work` lists keys of reference/works.toml in the order of that table; every other field belongs to one of them,
or is `task` (an id) or `words`. The subject of an entry is its task, else its first work, so that a task knows when it
was done. An entry of several works has one subject only: whoever asks for the last watering, feeding or spraying of a
plant looks through its standing entries of this kind for one whose `work` contains the key (`did` says so).
"""

import re
from collections.abc import Mapping
from datetime import date, timedelta
from functools import cache
from typing import Any, NamedTuple

from wtforms.validators import ValidationError

from walkabout.entries.answers import joined
from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import ConvertedField, NumberField, SeveralField, TapField, WordsField
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.texts import gettext
from walkabout.entries.texts import lazy_gettext as _
from walkabout.entries.work_amounts import (
    RATE_UNITS,
    stored_feed,
    stored_rate,
    written_feed,
    written_rate,
)
from walkabout.entries.work_words import lower_first, told
from walkabout.horticulture.units import (
    CENTIMETRES_PER_INCH,
    GRAMS_PER_OUNCE,
    KILOGRAMS_PER_POUND,
    LITRES_PER_GALLON,
)
from walkabout.reference.works import answers, cautions, groups, likely_works, works

IN_SIGHT = 6
_UUID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_SAY_NOTHING = ("rate_unit", "limb", "photos")  # of what was done
_MOST_FEED_KG = 1000
_STRONGEST = 1000  # mL or g of product in a litre of spray: nothing but product


class Caution(NamedTuple):
    """A caution, and the works beside which it stands."""

    words: str
    works: list[str]


class Asked(NamedTuple):
    """What stands in sight once a work is ticked: cautions that no work before it has, and fields in the yard's units."""

    work: str
    cautions: list[Caution]
    fields: list[Any]


class DoneForm(EntryForm):
    """What is written of a work says that it was done: litres without a tick are a watering all the same.

    `task` is the id of any task: it may be done, changed or not here yet when the entry arrives.
    """

    task = TapField(_("Task"), blank=_("No task"))
    work = SeveralField(_("What was done"))
    pruned_for = SeveralField(_("Pruned for"))
    left_count = NumberField(_("Fruits left"), low=0, high=100_000, whole=True)
    spacing_cm = NumberField(_("Space between fruits, cm"), low=0, high=300)
    spacing_in = ConvertedField(
        _("Space between fruits, inches"), low=0, high=118, kept_as="spacing_cm", factor=CENTIMETRES_PER_INCH
    )
    analysis = WordsField(_("Feed, such as 10-10-10 or compost"), longest=60)
    feed_kg = NumberField(_("Feed, kg"), low=0, high=_MOST_FEED_KG)
    feed_lb = ConvertedField(
        _("Feed, lb"), low=0, high=2200, kept_as="feed_kg", factor=KILOGRAMS_PER_POUND, digits=4
    )
    feed_g = NumberField(_("Or g"), low=0, high=100_000)
    feed_oz = ConvertedField(_("Or oz"), low=0, high=3500, kept_as="feed_g", factor=GRAMS_PER_OUNCE)
    water_l = NumberField(_("Water, L"), low=0, high=100_000)
    water_gal = ConvertedField(
        _("Water, gal"), low=0, high=26_000, kept_as="water_l", factor=LITRES_PER_GALLON
    )
    water_minutes = NumberField(_("Or minutes"), low=0, high=20_000)
    product = WordsField(_("Product, as on the label"), longest=80)
    rate = NumberField(_("Rate"), low=0, high=_STRONGEST)
    rate_unit = TapField(_("Its unit"))
    spray_l = NumberField(_("Spray used, L"), low=0, high=10_000)
    spray_gal = ConvertedField(
        _("Spray used, gal"), low=0, high=2600, kept_as="spray_l", factor=LITRES_PER_GALLON
    )
    days_before_harvest = NumberField(_("Days before harvest"), low=0, high=365, whole=True)
    hours_before_reentry = NumberField(_("Hours before re-entry"), low=0, high=720)
    protected_with = SeveralField(_("Protected with"))
    container_l = NumberField(_("New container, L"), low=0, high=10_000)
    container_gal = ConvertedField(
        _("New container, gal"), low=0, high=2600, kept_as="container_l", factor=LITRES_PER_GALLON
    )
    grafted_cultivar = WordsField(_("Cultivar grafted on"), longest=80)
    words = WordsField(_("In your words"), longest=200)

    def offer(self) -> None:
        self.task.offer(self.facts.tasks)
        self.task.allows = lambda value: _UUID.fullmatch(value) is not None
        first = likely_works(self.facts.crop, self.facts.today.month, IN_SIGHT, southern=self.facts.southern)
        rest = [key for _, keys in grouped() for key in keys if key not in first]
        self.work.offer(((key, works()[key].words) for key in (*first, *rest)), front=len(first))
        for field in (self.pruned_for, self.protected_with):
            field.offer((answer.key, answer.words) for answer in answers(field.name))
        self.rate_unit.offer(
            (key, unit.words) for key, unit in RATE_UNITS.items() if unit.units == self.facts.units
        )
        self.rate_unit.allows = RATE_UNITS.__contains__

    def written(self, details: Details) -> dict[str, Any]:
        units = self.facts.units
        return dict(super().written(written_rate(written_feed(details, units), units)))

    def stored(self, given: dict[str, Any]) -> dict[str, Any]:
        kept = stored_rate(stored_feed(given))
        done = {
            *kept.pop("work", ()),
            *(_works_of_fields()[name] for name in kept.keys() & _works_of_fields()),
        }
        if done:
            kept["work"] = [key for key in works() if key in done]
        for name in ("pruned_for", "protected_with"):
            if name in kept:
                kept[name] = [answer.key for answer in answers(name) if answer.key in kept[name]]
        return kept

    def validate_feed_g(self, field: NumberField) -> None:
        """Both parts of the amount together stay within its bounds."""
        large = (self.feed_kg.data or 0) + (self.feed_lb.data or 0) * self.feed_lb.factor
        small = (field.data or 0) + (self.feed_oz.data or 0) * self.feed_oz.factor
        if stored_feed({"feed_kg": large, "feed_g": small})["feed_kg"] > _MOST_FEED_KG:
            raise ValidationError(_("This is more than a plant can be fed. Look at the numbers again."))

    def validate_rate_unit(self, field: TapField) -> None:
        """A rate has a unit, and is no more than the product alone."""
        if self.rate.data is None:
            return
        if field.data is None:
            raise ValidationError(_("Choose the unit that stands on the label."))
        strength = stored_rate({"rate": self.rate.data, "rate_unit": field.data})["rate"]
        if strength > _STRONGEST:
            raise ValidationError(_("This is more product than spray. Look at the number and its unit."))

    def validate_words(self, field: WordsField) -> None:
        """Something was done; what stands in no list needs words."""
        if field.data:
            return
        if "other" in self.work.data:
            raise ValidationError(_("Write what else was done."))
        if self.nothing_in(*(name for name in self._fields if name not in _SAY_NOTHING)):
            raise ValidationError(_("Choose what was done, or write it."))

    @property
    def folded(self) -> list[tuple[str, list[tuple[str, Any]]]]:
        """The works that do not stand in sight, by group: its words, and what is offered."""
        words = dict(self.work.folded)
        found = [(title, [(key, words[key]) for key in keys if key in words]) for title, keys in grouped()]
        return [group for group in found if group[1]]

    @property
    def asked(self) -> list[Asked]:
        """What the works ask, in their order."""
        told: set[str] = set()
        found = []
        for work in works().values():
            new = [key for key in work.cautions if key not in told]
            told.update(new)
            fields = [self.in_yard_units(name) for name in work.asks]
            if new or fields:
                found.append(Asked(work.key, [_caution(key) for key in new], fields))
        return found


def _caution(key: str) -> Caution:
    return Caution(cautions()[key], [work.key for work in works().values() if key in work.cautions])


@cache
def grouped() -> list[tuple[str, list[str]]]:
    """Words of each group of works, and the keys in it."""
    return [
        (words, [work.key for work in works().values() if work.group == group])
        for group, words in groups().items()
    ]


@cache
def _works_of_fields() -> Mapping[str, str]:
    """The work to which a field belongs, by the field's name."""
    return {name: work.key for work in works().values() for name in work.asks}


def did(details: Details, work: str) -> bool:
    """Whether an entry of work done tells of this work, such as "watered"."""
    return work in details.get("work", ())


def no_pick_before(details: Details, seen_on: date) -> date | None:
    """The first day on which fruit may be picked after a spray; None where no waiting days were noted.

    Whole days from the day of the spray (NPIC, preharvest interval page). The label governs.
    """
    days = details.get("days_before_harvest")
    return None if days is None else seen_on + timedelta(days=days)


def headline(details: Details, facts: KindFacts) -> str:
    """Such as "Done: cut back to living wood" or "Pruned for size, thinned, fed 10-10-10, 0.5 lb"."""
    parts = [told(key, details, facts.units) for key in details.get("work", ()) if key != "other"]
    words = details.get("words")
    if "task" in details or not parts:
        title = words or dict(facts.tasks).get(details.get("task", ""))
        first = gettext("Done: %(words)s", words=title) if title else gettext("Work done")
        return joined(first, *(lower_first(part) for part in parts))
    return joined(parts[0], *(lower_first(part) for part in parts[1:]), words)


def subject(details: Details) -> str:
    """The task's id, else the first work, else nothing."""
    return str(details.get("task") or next(iter(details.get("work", ())), ""))


KIND = Kind("done", _("Work done"), 2, DoneForm, headline, subject)
