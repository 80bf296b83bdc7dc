"""What the list of the yard is narrowed to."""

from collections.abc import Iterable

from flask_babel import lazy_gettext as _
from wtforms import BooleanField, Form, SelectField, StringField
from wtforms.fields.choices import SelectChoice
from wtforms.validators import Length

from walkabout.reference.crops import crop_name
from walkabout.web.plant_forms import STATES

_LONGEST = 120


class FilterForm(Form):
    """A form by GET, so that the address can be kept."""

    search = StringField(_("Find"), [Length(max=_LONGEST)])
    crop = SelectField(_("Crop"), validate_choice=False)
    spot = SelectField(_("Spot"), validate_choice=False)
    state = SelectField(_("State"), validate_choice=False)
    look = BooleanField(_("Only what needs a look"))

    def offer(self, crops: Iterable[str], spots: Iterable[tuple[str, str]]) -> None:
        """Set what can be chosen.

        Args:
            crops: crops of the yard, as recorded.
            spots: id and name of each spot.
        """
        named = [SelectChoice(crop, crop_name(crop)) for crop in crops]
        self.crop.choices = [SelectChoice("", _("all crops")), *sorted(named, key=_by_label)]
        self.spot.choices = [SelectChoice("", _("all spots")), *(SelectChoice(*spot) for spot in spots)]
        self.state.choices = [SelectChoice("", _("all states")), *STATES]


def _by_label(choice: SelectChoice) -> str:
    return str(choice.label).casefold()
