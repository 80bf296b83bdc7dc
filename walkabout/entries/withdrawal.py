"""Withdrawal: takes back an earlier entry, which the entry itself names; it has no fields."""

from walkabout.entries.facts import KindFacts
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.texts import gettext
from walkabout.entries.texts import lazy_gettext as _


class WithdrawalForm(EntryForm):
    """No fields."""

    limb = None
    photos = None


def headline(_details: Details, _facts: KindFacts) -> str:
    """Always the same."""
    return gettext("Taken back")


def subject(_details: Details) -> str:
    """Nothing within the kind."""
    return ""


KIND = Kind("withdrawal", _("Taken back"), 1, WithdrawalForm, headline, subject, on_plants=False)
