"""The limbs of a plant: adding, changing and ending one, and its tag."""

from flask import Blueprint, abort, flash, make_response, redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _
from flask_babel import lazy_gettext as _later
from flask_wtf import FlaskForm
from wtforms import RadioField, StringField, ValidationError
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length

from walkabout.records import kin, limbs, tags
from walkabout.records.limbs import Limb, LimbFacts
from walkabout.records.plants import Plant
from walkabout.reference.crops import crop_name, crops, find_crop
from walkabout.tags.codes import make_code, shown
from walkabout.web import clock
from walkabout.web.forms import BareForm
from walkabout.web.known_plant import known_plant
from walkabout.web.plant_dates import read_exact, tidy

blueprint = Blueprint("limbs", __name__)
_LONGEST = 120

STATES = (
    SelectChoice("growing", _later("growing")),
    SelectChoice("dead", _later("dead")),
    SelectChoice("gone", _later("gone")),
)


class LimbForm(FlaskForm):
    """What a person says a limb is."""

    name = StringField(
        _later("Which limb"),
        [InputRequired(_later("Say which limb it is: the low one to the east.")), Length(max=_LONGEST)],
    )
    cultivar = StringField(_later("Cultivar"), [Length(max=_LONGEST)])
    crop = StringField(_later("Crop"), [Length(max=_LONGEST)])
    grafted = StringField(_later("Grafted"), [Length(max=40)])
    state = RadioField(_later("State"), choices=STATES, default="growing")

    @classmethod
    def of(cls, limb: Limb) -> "LimbForm":
        """The form filled with what is recorded of a limb."""
        return cls(
            data={
                "name": limb.name,
                "cultivar": limb.cultivar,
                "crop": crop_name(limb.crop) if limb.crop else "",
                "grafted": limb.grafted or "",
                "state": limb.state,
            }
        )

    def validate_name(self, field: StringField) -> None:
        """A name of blanks is none."""
        if not tidy(field.data):
            raise ValidationError(_("Say which limb it is: the low one to the east."))

    def validate_grafted(self, field: StringField) -> None:
        """A date, a month or a year that is not ahead."""
        read_exact(tidy(field.data), clock.today())

    def facts(self) -> LimbFacts:
        """What was filled in; the form must have been found valid."""
        crop = tidy(self.crop.data)
        known = find_crop(crop) if crop else None
        return LimbFacts(
            name=tidy(self.name.data),
            crop=known.crop.key if known else crop,
            cultivar=tidy(self.cultivar.data),
            grafted=read_exact(tidy(self.grafted.data), clock.today()),
            state=self.state.data,
        )


@blueprint.route("/plants/<plant_id>/limbs", methods=["GET", "POST"])
def page(plant_id: str) -> ResponseReturnValue:
    """The limbs of a plant, and adding one."""
    plant = known_plant(plant_id)
    form = LimbForm()
    if form.validate_on_submit():
        added = limbs.add_limb(plant.id, form.facts())
        flash(_("Limb %(name)s is recorded. Notes can name it now.", name=added.name))
        return redirect(url_for("limbs.page", plant_id=plant.id))
    known = limbs.limbs_of(plant.id, kin.kin(plant.id).merged_ids)
    return _answer(form, "limbs/limbs.html", plant, limbs=known)


@blueprint.route("/plants/<plant_id>/limbs/<limb_id>", methods=["GET", "POST"])
def limb(plant_id: str, limb_id: str) -> ResponseReturnValue:
    """Change what is recorded of a limb, or end it."""
    plant = known_plant(plant_id)
    known = _limb(plant, limb_id)
    form = LimbForm() if BareForm().is_submitted() else LimbForm.of(known)
    if form.validate_on_submit():
        changed = limbs.change_limb(limb_id, form.facts())
        if changed.state != "growing" and changed.code:
            tags.retire_tag(changed.code, clock.now())
            flash(_("Its tag %(code)s is taken down.", code=shown(changed.code)))
        return redirect(url_for("limbs.page", plant_id=plant.id))
    return _answer(form, "limbs/limb.html", plant, limb=known)


@blueprint.post("/plants/<plant_id>/limbs/<limb_id>/tag")
def tag(plant_id: str, limb_id: str) -> ResponseReturnValue:
    """Make a growing limb a tag of its own."""
    plant = known_plant(plant_id)
    known = _limb(plant, limb_id)
    if BareForm().validate_on_submit() and known.code is None and known.state == "growing":
        made = tags.issue_tag(known.plant_id, make_code, limb_id=limb_id)
        flash(
            _("%(code)s is the tag of this limb. Print it with: walkabout tags --all", code=shown(made.code))
        )
    return redirect(url_for("limbs.page", plant_id=plant.id))


def _answer(form: LimbForm, template: str, plant: Plant, **known: object) -> ResponseReturnValue:
    names = sorted(crop.short for crop in crops().values())
    page = render_template(template, form=form, plant=plant, crops=names, **known)
    return make_response(page, 422 if form.errors else 200)


def _limb(plant: Plant, limb_id: str) -> Limb:
    found = limbs.limb(limb_id)
    own = (plant.id, *kin.kin(plant.id).merged_ids)
    return found if found is not None and found.plant_id in own else abort(404)
