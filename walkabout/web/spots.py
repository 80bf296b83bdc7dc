"""The spots of the yard: renaming and moving one, merging two of one place, removing an empty one."""

from flask import Blueprint, abort, flash, make_response, redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _
from flask_babel import lazy_gettext
from flask_wtf import FlaskForm
from wtforms import DecimalField, SelectField, StringField, ValidationError
from wtforms.validators import InputRequired, Length, NumberRange, Optional

from walkabout.errors import BadInput
from walkabout.records import spot_changes, spots
from walkabout.records.spot_changes import SpotUse
from walkabout.records.spots import Spot
from walkabout.web import words
from walkabout.web.forms import BareForm
from walkabout.web.plant_dates import tidy

blueprint = Blueprint("spots", __name__)
_LONGEST = 120
_FURTHEST = 10_000  # of the yard's units of length


class SpotForm(FlaskForm):
    """A spot's name and position, in the yard's units."""

    name = StringField(
        lazy_gettext("Name"), [InputRequired(lazy_gettext("Give it a name.")), Length(max=_LONGEST)]
    )
    x = DecimalField(
        lazy_gettext("Along, from the yard's corner"),
        [Optional(), NumberRange(-_FURTHEST, _FURTHEST)],
        places=2,
    )
    y = DecimalField(
        lazy_gettext("Across, from the yard's corner"),
        [Optional(), NumberRange(-_FURTHEST, _FURTHEST)],
        places=2,
    )

    @classmethod
    def of(cls, spot: Spot) -> "SpotForm":
        """The form filled with what is recorded of a spot."""
        x, y = (
            None if metres is None else words.length_in_yard_units(metres) for metres in (spot.x_m, spot.y_m)
        )
        return cls(data={"name": spot.name, "x": x, "y": y})

    def validate_name(self, field: StringField) -> None:
        """A name of blanks is none."""
        if not tidy(field.data):
            raise ValidationError(_("Give it a name."))

    def position(self) -> tuple[float | None, float | None]:
        """Where it lies, in metres."""
        x, y = (
            None if field.data is None else round(words.metres(float(field.data)), 4)
            for field in (self.x, self.y)
        )
        return x, y


class MergeForm(FlaskForm):
    """The other spot of the same place."""

    other = SelectField(lazy_gettext("It is the same place as"), validate_choice=False)


@blueprint.get("/yard/spots")
def every() -> ResponseReturnValue:
    """All spots and how much stands there."""
    return render_template("spots/spots.html", spots=spot_changes.spots_in_use())


@blueprint.route("/yard/spots/<spot_id>", methods=["GET", "POST"])
def spot(spot_id: str) -> ResponseReturnValue:
    """Rename a spot, or set its position."""
    known = _spot(spot_id)
    form = SpotForm() if BareForm().is_submitted() else SpotForm.of(known.spot)
    if form.validate_on_submit():
        try:
            spot_changes.change_spot(spot_id, tidy(form.name.data), *form.position())
        except BadInput as error:
            form.name.errors = [error.message]
        else:
            flash(_("The spot is changed."))
            return redirect(url_for("spots.spot", spot_id=spot_id))
    return _page(known, form)


@blueprint.post("/yard/spots/<spot_id>/merge")
def merge(spot_id: str) -> ResponseReturnValue:
    """Make this spot and another one: what stands here stands there from now on."""
    known = _spot(spot_id)
    form = MergeForm()
    if not form.validate_on_submit():
        abort(400)
    into = _spot(form.other.data or "")
    spot_changes.merge_spots(spot_id, into.spot.id)
    flash(_("What stood at %(name)s stands here now.", name=known.spot.name))
    return redirect(url_for("spots.spot", spot_id=into.spot.id))


@blueprint.post("/yard/spots/<spot_id>/remove")
def remove(spot_id: str) -> ResponseReturnValue:
    """Remove a spot at which nothing is recorded."""
    known = _spot(spot_id)
    if BareForm().validate_on_submit():
        try:
            spot_changes.remove_spot(spot_id)
        except BadInput as error:
            flash(error.message)
            return redirect(url_for("spots.spot", spot_id=spot_id))
        flash(_("%(name)s is removed.", name=known.spot.name))
    return redirect(url_for("spots.every"))


def _page(known: SpotUse, form: SpotForm) -> ResponseReturnValue:
    merging = MergeForm(formdata=None)
    merging.other.choices = [(other.id, other.name) for other in spots.spots() if other.id != known.spot.id]
    page = render_template("spots/spot.html", known=known, form=form, merging=merging)
    return make_response(page, 422 if form.errors else 200)


def _spot(spot_id: str) -> SpotUse:
    return spot_changes.spot_in_use(spot_id) or abort(404)
