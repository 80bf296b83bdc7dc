"""Measured: height, spread, trunk girth and at what height, fruit counted, length of shoots.

Girth is measured 30 cm above the graft union, as rootstock trials do (height from memory; others use 20 or 25 cm), or
above the ground on a plant on its own roots. Always at the same height: a few centimetres change the answer.
"""

from typing import Any

from wtforms.validators import ValidationError

from walkabout.entries.answers import line
from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import ConvertedField, NumberField, TapField
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.lengths import short_words, tall_words
from walkabout.entries.texts import gettext, ngettext
from walkabout.entries.texts import lazy_gettext as _
from walkabout.horticulture.units import CENTIMETRES_PER_INCH, METRES_PER_FOOT, feet, inches

GIRTH_AT_CM = {"metric": 30.0, "us": 12 * CENTIMETRES_PER_INCH}
UNION, GROUND = "union", "ground"
_ABOVE: tuple[tuple[str, Any], ...] = ((UNION, _("the graft union")), (GROUND, _("the ground")))
_TALLEST_CM = 3000
_THICKEST_CM = 600
_LONGEST_CM = 1000
_HIGHEST_GIRTH_CM = 200
_MOST_FRUITS = 1_000_000
_MEASURES = (
    "height_cm", "height_ft", "spread_cm", "spread_ft", "girth_cm", "girth_in", "shoot_cm", "shoot_in", "count",
)  # fmt: skip


def _feet(label: Any, name: str, high_cm: int) -> ConvertedField:
    high = round(feet(high_cm / 100))
    return ConvertedField(label, low=0, high=high, kept_as=name, factor=METRES_PER_FOOT * 100, digits=3)


def _inches(label: Any, name: str, high_cm: int) -> ConvertedField:
    return ConvertedField(
        label, low=0, high=round(inches(high_cm)), kept_as=name, factor=CENTIMETRES_PER_INCH
    )


class MeasuredForm(EntryForm):
    """At least one measure. Where a girth is given without its height, 30 cm (12 in) above the union is kept with it,
    above the ground on a plant of which no graft is known, so that it stays true when the default or the plant's facts change."""

    height_cm = NumberField(_("Height, cm"), low=0, high=_TALLEST_CM)
    height_ft = _feet(_("Height, ft"), "height_cm", _TALLEST_CM)
    spread_cm = NumberField(_("Spread, cm"), low=0, high=_TALLEST_CM)
    spread_ft = _feet(_("Spread, ft"), "spread_cm", _TALLEST_CM)
    girth_cm = NumberField(_("Trunk girth, cm"), low=0, high=_THICKEST_CM)
    girth_in = _inches(_("Trunk girth, inches"), "girth_cm", _THICKEST_CM)
    girth_at_cm = NumberField(_("Girth taken at, cm (else 30)"), low=0, high=_HIGHEST_GIRTH_CM)
    girth_at_in = _inches(_("Girth taken at, inches (else 12)"), "girth_at_cm", _HIGHEST_GIRTH_CM)
    girth_above = TapField(_("Girth taken above"), choices=_ABOVE)
    count = NumberField(_("Number of fruits"), low=0, high=_MOST_FRUITS, whole=True)
    shoot_cm = NumberField(_("Length of shoots, cm"), low=0, high=_LONGEST_CM)
    shoot_in = _inches(_("Length of shoots, inches"), "shoot_cm", _LONGEST_CM)

    def offer(self) -> None:
        # The usual answer is the one of nothing said, so that it is not told beside other measures.
        usual = _above(self.facts)
        self.girth_above.blank = dict(_ABOVE)[usual]
        self.girth_above.offer((value, words) for value, words in _ABOVE if value != usual)
        self.girth_above.allows = dict(_ABOVE).__contains__

    def written(self, details: Details) -> dict[str, Any]:
        shown = dict(super().written(details))
        if shown.get("girth_above") == _above(self.facts):
            del shown["girth_above"]
        return shown

    def validate_height_cm(self, field: NumberField) -> None:
        """Something was measured; told at the first field, whichever unit is shown."""
        if self.nothing_in(*_MEASURES):
            raise ValidationError(_("Give at least one measure."))

    validate_height_ft = validate_height_cm

    def stored(self, given: dict[str, Any]) -> dict[str, Any]:
        if "girth_cm" not in given:
            return {name: value for name, value in given.items() if not name.startswith("girth_")}
        given.setdefault("girth_at_cm", GIRTH_AT_CM[self.facts.units])
        given.setdefault("girth_above", _above(self.facts))
        return given


def _above(facts: KindFacts) -> str:
    return UNION if facts.grafted else GROUND


def headline(details: Details, facts: KindFacts) -> str:
    """Such as "Height 2.4 m, girth 22 cm at 30 cm above the union, 40 fruits"."""
    units = facts.units
    height, spread, girth = (details.get(name) for name in ("height_cm", "spread_cm", "girth_cm"))
    shoot, count = details.get("shoot_cm"), details.get("count")
    return line(
        None if height is None else gettext("height %(height)s", height=tall_words(height, units)),
        None if spread is None else gettext("spread %(spread)s", spread=tall_words(spread, units)),
        None if girth is None else _girth(details, units),
        None if count is None else ngettext("%(num)s fruit", "%(num)s fruits", count),
        None if shoot is None else gettext("shoots %(length)s long", length=short_words(shoot, units)),
    )


def _girth(details: Details, units: str) -> str:
    girth, at = short_words(details["girth_cm"], units), short_words(details["girth_at_cm"], units)
    if details["girth_above"] == UNION:
        return gettext("girth %(girth)s at %(at)s above the union", girth=girth, at=at)
    return gettext("girth %(girth)s at %(at)s above ground", girth=girth, at=at)


def subject(_details: Details) -> str:
    """Nothing within the kind."""
    return ""


KIND = Kind("measured", _("Measured"), 1, MeasuredForm, headline, subject)
