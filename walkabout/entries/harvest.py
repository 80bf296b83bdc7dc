"""Harvest: what was picked, by weight or by count."""

from typing import Any

from wtforms.validators import ValidationError

from walkabout.entries.answers import joined
from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import NumberField, plain_number
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.texts import gettext, ngettext
from walkabout.entries.texts import lazy_gettext as _
from walkabout.horticulture.units import kilograms, pounds

_MOST_KG = 10_000
_MOST_LB = 20_000
_MOST_FRUITS = 1_000_000


class HarvestForm(EntryForm):
    """The field's name says its unit, so that a yard may change its units while entries wait on a phone. Nothing
    picked is a harvest of 0."""

    weight_kg = NumberField(_("Weight, kg"), low=0, high=_MOST_KG)
    weight_lb = NumberField(_("Weight, lb"), low=0, high=_MOST_LB)
    count = NumberField(_("Number of fruits"), low=0, high=_MOST_FRUITS, whole=True)

    def written(self, details: Details) -> dict[str, Any]:
        shown = dict(details)
        weight = shown.get("weight_kg")
        if self.facts.units == "us" and isinstance(weight, int | float):
            shown["weight_lb"] = round(pounds(weight), 4)
            del shown["weight_kg"]
        return shown

    def validate_weight_kg(self, field: NumberField) -> None:
        """A weight or a count."""
        self._some_amount()

    def validate_weight_lb(self, field: NumberField) -> None:
        """A weight or a count, and one weight only."""
        if field.data is not None and self.weight_kg.data is not None:
            raise ValidationError(_("Give the weight once, in kg or in lb."))
        self._some_amount()

    def _some_amount(self) -> None:
        fields = (self.weight_kg, self.weight_lb, self.count)
        # A field that could not be read says so itself.
        if all(field.data is None and not field.process_errors for field in fields):
            raise ValidationError(_("Give the weight or the number of fruits."))

    def stored(self, given: dict[str, Any]) -> dict[str, Any]:
        if "weight_lb" in given:
            given["weight_kg"] = kilograms(given.pop("weight_lb"))
        return given

    @property
    def weight(self) -> NumberField:
        """The weight field in the units of the yard."""
        return self.weight_lb if self.facts.units == "us" else self.weight_kg


def weight_words(weight_kg: float, units: str) -> str:
    """Such as "12.5 lb" or "5.67 kg"."""
    if units == "us":
        return gettext("%(weight)s lb", weight=plain_number(round(pounds(weight_kg), 2)))
    return gettext("%(weight)s kg", weight=plain_number(round(weight_kg, 2)))


def headline(details: Details, facts: KindFacts) -> str:
    """Such as "Picked 12.5 lb, 30 fruits"."""
    weight, count = details.get("weight_kg"), details.get("count")
    amount = joined(
        None if weight is None else weight_words(weight, facts.units),
        None if count is None else ngettext("%(num)s fruit", "%(num)s fruits", count),
    )
    return gettext("Picked %(amount)s", amount=amount)


def subject(_details: Details) -> str:
    """Nothing within the kind."""
    return ""


KIND = Kind("harvest", _("Harvest"), 1, HarvestForm, headline, subject)
