"""Fruit set: how much fruit there is after bloom, and how much has dropped."""

from typing import Any

from wtforms.validators import ValidationError

from walkabout.entries.answers import NOT_NOTED, line
from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import NumberField, TapField
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.texts import gettext, ngettext
from walkabout.entries.texts import lazy_gettext as _
from walkabout.entries.which_crop import which_crop
from walkabout.reference.stages import fruiting_tracks, known_track

NONE_SET = "none"
AMOUNTS: tuple[tuple[str, Any], ...] = (
    (NONE_SET, _("No fruit")),
    ("light", _("Light")),
    ("good", _("Good")),
    ("heavy", _("Heavy")),
)
DROPPED: tuple[tuple[str, Any], ...] = (
    ("none", _("None dropped")),
    ("some", _("Some dropped")),
    ("many", _("Many dropped")),
)
_MOST_FRUITS = 1_000_000


class FruitSetForm(EntryForm):
    """`amount` "none" says that one looked and found no fruit. `count` is of the whole plant."""

    amount = TapField(_("Fruit on the plant"), choices=AMOUNTS, blank=NOT_NOTED)
    dropped = TapField(_("Fruit drop"), choices=DROPPED, blank=NOT_NOTED)
    track = TapField(_("Which crop"), blank=NOT_NOTED)
    count = NumberField(_("Number of fruits, if counted"), low=0, high=_MOST_FRUITS, whole=True)

    def offer(self) -> None:
        self.track.offer(fruiting_tracks(self.facts.crop))
        self.track.allows = known_track

    def validate_amount(self, field: TapField) -> None:
        """An amount, a count or the drop."""
        if self.nothing_in("amount", "dropped", "count"):
            raise ValidationError(_("Say how much fruit there is, or how much dropped."))

    def validate_count(self, field: NumberField) -> None:
        """No fruit has no number."""
        if field.data and self.amount.data == NONE_SET:
            raise ValidationError(
                _("No fruit is chosen above, and a number stands here. Leave one of them out.")
            )


def headline(details: Details, _facts: KindFacts) -> str:
    """Such as "Good fruit set, 40 fruits, some fruit dropped, main crop"."""
    amounts = {
        NONE_SET: gettext("no fruit set"),
        "light": gettext("light fruit set"),
        "good": gettext("good fruit set"),
        "heavy": gettext("heavy fruit set"),
    }
    drops = {
        "none": gettext("no fruit dropped"),
        "some": gettext("some fruit dropped"),
        "many": gettext("much fruit dropped"),
    }
    amount, count, which = details.get("amount"), details.get("count"), which_crop(details)
    counted = gettext("fruit set") if count is not None else None
    return line(
        amounts.get(amount, amount) if amount else counted,
        None if count is None else ngettext("%(num)s fruit", "%(num)s fruits", count),
        drops.get(details.get("dropped", "")),
        which.lower() if which else None,
    )


def subject(details: Details) -> str:
    """The track where several fruit, else nothing: a later look follows an earlier one."""
    return str(details.get("track", ""))


KIND = Kind("fruit_set", _("Fruit set"), 1, FruitSetForm, headline, subject, said_first=True)
