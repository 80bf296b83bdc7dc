"""Damage: what happened and when, apart from when it was seen; how much; what is still alive; that it is over."""

from datetime import date, timedelta
from typing import Any

from wtforms.validators import ValidationError

from walkabout.entries.answers import NOT_NOTED, PARTS, SHARES, joined, words_of
from walkabout.entries.days import day_words
from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import ConvertedField, DayField, NumberField, TapField
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.lengths import short_words
from walkabout.entries.texts import gettext
from walkabout.entries.texts import lazy_gettext as _
from walkabout.horticulture.units import CENTIMETRES_PER_INCH, inches
from walkabout.reference.likely import likely_notes

NONE_SEEN = "none"
OVER = "over"
ANY = "any"
_SEEN = "yes"
SEEN: tuple[tuple[str, Any], ...] = (
    (_SEEN, _("Damage seen")),
    (NONE_SEEN, _("Looked, none of it")),
    (OVER, _("Healed or over")),
)

CAUSES: tuple[tuple[str, Any], ...] = (
    ("frost", _("Frost")),
    ("wind", _("Wind or storm")),
    ("breakage", _("Broken limb")),
    ("animal", _("Animal")),
    ("sun", _("Sun or heat")),
    ("drought", _("Drought")),
    ("hail", _("Hail")),
    ("waterlogging", _("Standing water")),
    ("salt", _("Salt")),
    ("machine", _("Mower or trimmer")),
    ("spray", _("Spray or drift")),
    ("unknown", _("Cause not known")),
)
NIGHTS: tuple[tuple[str, Any], ...] = (
    ("1", _("Last night")),
    ("2", _("2 nights ago")),
    ("3", _("3 nights ago")),
)
LIVING: tuple[tuple[str, Any], ...] = (
    ("above", _("Above the graft union")),
    ("at", _("At the graft union")),
    ("below", _("Below the graft union")),
    ("too_early", _("Too early to tell")),
)
# Problems of the books that are noted as damage.
CAUSE_OF_PROBLEM = {
    "frost_injury": "frost",
    "wind_damage": "wind",
    "hail": "hail",
    "sunburn_fruit": "sun",
    "drought_stress": "drought",
    "salt_burn": "salt",
}
_TALLEST_CM = 3000
_CAUSES_IN_SIGHT = 7
_EFFECTS = ("part", "share", "lowest_living", "dead_back_to_cm")


class DamageForm(EntryForm):
    """`seen` is kept as "none" (looked, and found none of this damage) or "over" (healed, grown out or past); it is
    absent while there is damage, and `cause` is absent when one looked and found none of any kind.

    When it happened is `nights_ago`, counted back from the day it was seen, or a date in `happened_on`, which is
    the more exact and holds where both are given; neither means not known. "Last night" is not turned into a date
    here, as a page kept on a phone does not know the day on which it is pressed."""

    cause = TapField(_("Cause"), choices=CAUSES)
    seen = TapField(_("How it is"), choices=SEEN)
    nights_ago = TapField(_("When it happened"), choices=NIGHTS, blank=_("Not known"))
    happened_on = DayField(_("Or the day it happened"))
    part = TapField(_("Part"), choices=PARTS, blank=NOT_NOTED)
    share = TapField(_("Share of canopy"), choices=SHARES, blank=NOT_NOTED)
    lowest_living = TapField(_("Lowest living point"), choices=LIVING, blank=NOT_NOTED)
    dead_back_to_cm = NumberField(_("Dead back to, cm above ground"), low=0, high=_TALLEST_CM)
    dead_back_to_in = ConvertedField(
        _("Dead back to, inches above ground"),
        low=0,
        high=round(inches(_TALLEST_CM)),
        kept_as="dead_back_to_cm",
        factor=CENTIMETRES_PER_INCH,
    )

    def offer(self) -> None:
        listed = likely_notes(
            self.facts.crop, self.facts.today.month, warm=self.facts.warm, southern=self.facts.southern
        )
        likely = [CAUSE_OF_PROBLEM[note.choice] for note in listed if note.choice in CAUSE_OF_PROBLEM]
        causes = {**{cause: dict(CAUSES)[cause] for cause in likely}, **dict(CAUSES)}
        front, folded = list(causes.items())[:_CAUSES_IN_SIGHT], list(causes.items())[_CAUSES_IN_SIGHT:]
        self.cause.offer([*front, (ANY, _("Looked, no damage")), *folded], front=len(front) + 1)
        if self.facts.grafted is False:
            self.without(
                "lowest_living",
                gettext("This plant is on its own roots; it has no graft union to tell from."),
            )

    def preselected(self) -> dict[str, Any]:
        return {"seen": _SEEN}

    def written(self, details: Details) -> dict[str, Any]:
        ready = {"seen": _SEEN} if details.get("cause") else {"seen": _SEEN, "cause": ANY}
        return {**ready, **super().written(details)}

    def validate_cause(self, field: TapField) -> None:
        """A cause, or that one looked and found nothing."""
        if not field.data and self.seen.data != NONE_SEEN:
            raise ValidationError(_("Choose the cause, or that there is no damage."))

    def stored(self, given: dict[str, Any]) -> dict[str, Any]:
        if given.get("cause") == ANY:
            del given["cause"]
            given["seen"] = NONE_SEEN
        if given.get("seen") == _SEEN:
            del given["seen"]
        if "happened_on" in given:
            given.pop("nights_ago", None)
        if given.get("seen") == NONE_SEEN:
            return {name: value for name, value in given.items() if name not in _EFFECTS}
        return given

    @property
    def dead_back_to(self) -> NumberField:
        """The height field in the units of the yard."""
        field: NumberField = self.in_yard_units("dead_back_to_cm")
        return field


def happened_on(details: Details, seen_on: date) -> date | None:
    """The day on which the damage happened; of a night, the day on whose evening it began. None when not known."""
    if "happened_on" in details:
        return date.fromisoformat(details["happened_on"])
    if "nights_ago" in details:
        return seen_on - timedelta(days=int(details["nights_ago"]))
    return None


def is_open(details: Details) -> bool:
    """Whether an entry tells of damage that is there, and not that one found none or that it is over."""
    return details.get("seen") not in (NONE_SEEN, OVER)


def headline(details: Details, facts: KindFacts) -> str:
    """Such as "Frost, the night before, young leaves, 10 to 25 % of canopy, alive above the graft union"."""
    cause = words_of(CAUSES, details.get("cause"))
    if details.get("seen") == NONE_SEEN:
        return joined(
            gettext("%(cause)s: looked, no damage", cause=cause) if cause else gettext("Looked, no damage"),
            _when(details),
        )
    if details.get("seen") == OVER:
        cause = gettext("%(cause)s: healed or over", cause=cause)
    return joined(cause, _when(details), _effects(details, facts))


def told_later(details: Details, facts: KindFacts, seen_on: date) -> str:
    """The same for a line that bears no date of its own: "Frost of 14 Jan, alive above the graft union". For damage
    that is open (see `is_open`)."""
    cause, happened = words_of(CAUSES, details.get("cause")), happened_on(details, seen_on)
    if happened is None:
        dated = gettext("%(cause)s seen %(day)s", cause=cause, day=day_words(seen_on, facts.today))
    else:
        dated = gettext("%(cause)s of %(day)s", cause=cause, day=day_words(happened, facts.today))
    return joined(dated, _effects(details, facts))


def _effects(details: Details, facts: KindFacts) -> str:
    share = words_of(SHARES, details.get("share"))
    return joined(
        words_of(PARTS, details.get("part")),
        gettext("%(share)s of canopy", share=share) if share else None,
        _alive(details.get("lowest_living")),
        _dead_back(details.get("dead_back_to_cm"), facts.units),
    )


def subject(details: Details) -> str:
    """The cause, so that "none of it" or "over" follows the damage it is about; "any" when one looked for all.

    An entry about any damage closes nothing by itself: old dieback stays open when no new damage is found."""
    return str(details.get("cause", ANY))


def _when(details: Details) -> str | None:
    if "happened_on" in details:
        return gettext("on %(day)s", day=day_words(date.fromisoformat(details["happened_on"])))
    nights = details.get("nights_ago")
    if nights is None:
        return None
    return (
        gettext("the night before") if nights == "1" else gettext("%(nights)s nights before", nights=nights)
    )


def _alive(lowest: str | None) -> str | None:
    told = {
        "above": gettext("alive above the graft union"),
        "at": gettext("alive down at the graft union only"),
        "below": gettext("alive only below the graft union"),
        "too_early": gettext("too early to tell what lives"),
    }
    return told.get(lowest) if lowest else None


def _dead_back(height_cm: float | None, units: str) -> str | None:
    if height_cm is None:
        return None
    return gettext("dead back to %(height)s", height=short_words(height_cm, units))


KIND = Kind("damage", _("Damage"), 1, DamageForm, headline, subject, said_first=True)
