"""The settings of the yard, for its owner."""

from collections.abc import Callable
from typing import Any
from zoneinfo import available_timezones

from flask import Blueprint, flash, make_response, redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _
from flask_babel import lazy_gettext
from flask_wtf import FlaskForm
from wtforms import BooleanField, Field, RadioField, StringField, ValidationError
from wtforms.fields.choices import SelectChoice

from walkabout.errors import BadInput
from walkabout.records import yard_answers, yards
from walkabout.records.yards import Yard
from walkabout.web import access, clock

blueprint = Blueprint("yard", __name__)


def _read_by(read: Callable[[str], Any]) -> Callable[[Any, Field], None]:
    """The check of a field by what reads its answer, the same that the command asks by."""

    def check(_form: Any, field: Field) -> None:
        try:
            read(field.data or "")
        except BadInput as error:
            raise ValidationError(error.message) from error

    return check


class YardForm(FlaskForm):
    """What is recorded of the yard."""

    name = StringField(lazy_gettext("Name of the yard"), [_read_by(yard_answers.short_text)])
    units = RadioField(
        lazy_gettext("Units on the pages"),
        choices=(
            SelectChoice("us", lazy_gettext("pounds, feet, gallons")),
            SelectChoice("metric", lazy_gettext("kilograms, metres, litres")),
        ),
    )
    latitude = StringField(lazy_gettext("Latitude"), [_read_by(yard_answers.latitude)])
    longitude = StringField(lazy_gettext("Longitude"), [_read_by(yard_answers.longitude)])
    timezone = StringField(lazy_gettext("Time zone"), [_read_by(yard_answers.timezone)])
    frost_free = BooleanField(lazy_gettext("Frost does not come here"))
    last_frost = StringField(lazy_gettext("Usual last frost of spring"), [_read_by(yard_answers.frost)])
    first_frost = StringField(lazy_gettext("Usual first frost of autumn"), [_read_by(yard_answers.frost)])

    @classmethod
    def of(cls, yard: Yard) -> "YardForm":
        """The form filled with what is recorded."""
        return cls(
            data={
                "name": yard.name,
                "units": yard.units,
                "latitude": f"{yard.latitude:.12g}",
                "longitude": f"{yard.longitude:.12g}",
                "timezone": yard.timezone,
                "frost_free": yard.frost_free,
                "last_frost": str(yard.last_frost or ""),
                "first_frost": str(yard.first_frost or ""),
            }
        )

    def validate_frost_free(self, field: BooleanField) -> None:
        """No frost and a frost date exclude each other."""
        if field.data and any((date.data or "").strip() for date in (self.last_frost, self.first_frost)):
            raise ValidationError(_("Frost does not come, and a frost date is given. Take one of them away."))

    def validate_first_frost(self, field: StringField) -> None:
        """The two dates were not taken for each other."""
        try:
            last, first = yard_answers.frost(self.last_frost.data or ""), yard_answers.frost(field.data or "")
            north = yard_answers.latitude(self.latitude.data or "")
        except BadInput:
            return  # the field itself says so
        try:
            yard_answers.must_be_in_order(last, first, north)
        except BadInput as error:
            raise ValidationError(error.message) from error

    def keep(self) -> Yard:
        """Record what was filled in; the form must have been found valid."""
        return yards.change_yard(
            name=yard_answers.short_text(self.name.data),
            units=self.units.data,
            latitude=yard_answers.latitude(self.latitude.data),
            longitude=yard_answers.longitude(self.longitude.data),
            timezone=yard_answers.timezone(self.timezone.data),
            frost_free=self.frost_free.data,
            last_frost=yard_answers.frost(self.last_frost.data or ""),
            first_frost=yard_answers.frost(self.first_frost.data or ""),
        )


@blueprint.route("/yard/settings", methods=["GET", "POST"])
@access.owner_only
def settings() -> ResponseReturnValue:
    """Name, units, position, time zone and frosts of the yard."""
    form = YardForm()
    if form.is_submitted():
        if form.validate():
            form.keep()
            flash(_("The yard is changed. Phones bring their pages anew."))
            return redirect(url_for("yard.settings"))
    else:
        form = YardForm.of(clock.the_yard())
    zones = sorted(zone for zone in available_timezones() if "/" in zone)
    page = render_template("yard/settings.html", form=form, zones=zones)
    return make_response(page, 422 if form.errors else 200)
