"""Harvest: what was picked, how it was, and what of the crop was lost."""

from typing import Any

from wtforms.validators import ValidationError

from walkabout.entries.answers import NOT_NOTED, joined, line, words_of
from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import ConvertedField, NumberField, SeveralField, TapField, plain_number
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.texts import gettext, ngettext
from walkabout.entries.texts import lazy_gettext as _
from walkabout.entries.which_crop import bloom_years, is_bloom_year, which_crop
from walkabout.horticulture.units import KILOGRAMS_PER_POUND, pounds
from walkabout.reference.stages import fruiting_tracks, known_track

_MOST_KG = 10_000
_MOST_LB = 20_000
_MOST_FRUITS = 1_000_000

# Amounts that need no scale. They are never turned into a weight.
ROUGH: tuple[tuple[str, Any], ...] = (
    ("few", _("A few fruits")),
    ("bowl", _("A bowlful")),
    ("bucket", _("A bucketful")),
    ("more", _("More than that")),
)
RIPENESS: tuple[tuple[str, Any], ...] = (
    ("not_yet", _("Not ripe yet")),
    ("just", _("Just ripe")),
    ("over", _("Overripe")),
)
TASTES: tuple[tuple[str, Any], ...] = (
    ("1", _("1 poor")),
    ("2", _("2 fair")),
    ("3", _("3 good")),
    ("4", _("4 very good")),
    ("5", _("5 excellent")),
)
LAST_PICK: tuple[tuple[str, Any], ...] = (("last", _("Last pick")),)
LOSSES: tuple[tuple[str, Any], ...] = (
    ("birds", _("Birds")),
    ("squirrels", _("Squirrels")),
    ("freeze", _("Freeze")),
    ("split", _("Split")),
    ("drop", _("Drop")),
    ("rot", _("Rot")),
    ("stolen", _("Stolen")),
    ("other", _("Another cause")),
)
LOST_SHARES: tuple[tuple[str, Any], ...] = (
    ("some", _("Some of it")),
    ("most", _("Most of it")),
    ("all", _("All of it")),
)
_SAYING = (
    "rough", "weight_kg", "weight_lb", "count", "ripe", "taste", "last_pick", "lost", "lost_share",
)  # fmt: skip


class HarvestForm(EntryForm):
    """The name of the weight says its unit, so that a yard may change its units while entries wait on a phone.

    A harvest without an amount is one that was looked at: not ripe yet, tasted, past, or lost. Nothing picked may
    be noted as 0. `track` is the crop on a plant that bears two in a year (breba and main crop); `bloom_year` is the
    civil year of the bloom that the fruit came from, where last year's may hang beside this year's.
    """

    rough = TapField(_("Picked"), choices=ROUGH, blank=NOT_NOTED)
    weight_kg = NumberField(_("Weight, kg"), low=0, high=_MOST_KG)
    weight_lb = ConvertedField(
        _("Weight, lb"), low=0, high=_MOST_LB, kept_as="weight_kg", factor=KILOGRAMS_PER_POUND, digits=4
    )
    count = NumberField(_("Number of fruits"), low=0, high=_MOST_FRUITS, whole=True)
    track = TapField(_("Which crop"), blank=NOT_NOTED)
    bloom_year = TapField(_("Which year's fruit"), blank=NOT_NOTED)
    ripe = TapField(_("Ripe"), choices=RIPENESS, blank=NOT_NOTED)
    taste = TapField(_("Taste"), choices=TASTES, blank=NOT_NOTED)
    last_pick = TapField(_("Last pick"), choices=LAST_PICK, blank=_("More to come"))
    lost = SeveralField(_("Crop lost to"), choices=LOSSES)
    lost_share = TapField(_("How much is lost"), choices=LOST_SHARES, blank=NOT_NOTED)

    def offer(self) -> None:
        self.track.offer(fruiting_tracks(self.facts.crop))
        self.track.allows = known_track
        self.bloom_year.offer(bloom_years(self.facts))
        self.bloom_year.allows = is_bloom_year

    def validate_rough(self, field: TapField) -> None:
        """Something must be said of the fruit; which crop it is says nothing yet."""
        if self.nothing_in(*_SAYING):
            raise ValidationError(_("Say how much was picked, how ripe it is, or what was lost."))

    @property
    def weight(self) -> NumberField:
        """The weight field in the units of the yard."""
        field: NumberField = self.in_yard_units("weight_kg")
        return field


def weight_words(weight_kg: float, units: str) -> str:
    """Such as "12.5 lb" or "5.67 kg"."""
    if units == "us":
        return gettext("%(weight)s lb", weight=plain_number(round(pounds(weight_kg), 2)))
    return gettext("%(weight)s kg", weight=plain_number(round(weight_kg, 2)))


def headline(details: Details, facts: KindFacts) -> str:
    """Such as "Picked 12.5 lb, 30 fruits, main crop, just ripe, taste 4 of 5" or "Most of the crop lost: birds"."""
    taste, which = details.get("taste"), which_crop(details)
    ripe = words_of(RIPENESS, details.get("ripe"))
    return line(
        _picked(details, facts),
        which.lower() if which else None,
        ripe.lower() if ripe else None,
        gettext("taste %(taste)s of 5", taste=taste) if taste else None,
        gettext("last pick") if "last_pick" in details else None,
        _lost(details),
    )


def _picked(details: Details, facts: KindFacts) -> str | None:
    weight, count, rough = details.get("weight_kg"), details.get("count"), details.get("rough")
    amounts = {"few": gettext("a few fruits"), "bowl": gettext("a bowlful"), "bucket": gettext("a bucketful")}
    amount = joined(
        None if weight is None else weight_words(weight, facts.units),
        None if count is None else ngettext("%(num)s fruit", "%(num)s fruits", count),
        amounts.get(rough, gettext("more than a bucketful")) if rough else None,
    )
    return gettext("picked %(amount)s", amount=amount) if amount else None


def _lost(details: Details) -> str | None:
    share, causes = details.get("lost_share"), details.get("lost", ())
    if not share and not causes:
        return None
    told = {
        "some": gettext("some of the crop lost"),
        "most": gettext("most of the crop lost"),
        "all": gettext("the whole crop lost"),
    }.get(share or "", gettext("crop lost"))
    if not causes:
        return told
    words = [(words_of(LOSSES, cause) or cause).lower() for cause in causes]
    return gettext("%(lost)s: %(causes)s", lost=told, causes=" and ".join(words))


def subject(details: Details) -> str:
    """The crop that it names: its track, or the year of its bloom; "" for the only one."""
    return str(details.get("track") or details.get("bloom_year") or "")


KIND = Kind("harvest", _("Harvest"), 1, HarvestForm, headline, subject, said_first=True)
