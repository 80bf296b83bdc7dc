"""The tags of a plant: taking one down, hanging it on another plant, making a new one."""

from flask import Blueprint, abort, flash, make_response, redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _
from flask_babel import lazy_gettext
from flask_wtf import FlaskForm
from wtforms import StringField
from wtforms.validators import Length

from walkabout.errors import BadInput
from walkabout.records import kin, limbs, tags
from walkabout.records.plants import Plant
from walkabout.tags.codes import make_code, shown
from walkabout.web import clock
from walkabout.web.forms import BareForm
from walkabout.web.known_plant import known_plant
from walkabout.web.plant_choice import chosen_plant, names_to_offer

blueprint = Blueprint("plant_tags", __name__)


class GiveForm(FlaskForm):
    """The plant that a tag is to hang on."""

    other = StringField(lazy_gettext("Hang it on"), [Length(max=120)])


@blueprint.get("/plants/<plant_id>/tags")
def page(plant_id: str) -> ResponseReturnValue:
    """The tags that hang on a plant and its limbs, and those that did."""
    return _page(known_plant(plant_id), GiveForm(formdata=None))


@blueprint.post("/plants/<plant_id>/tags/new")
def new(plant_id: str) -> ResponseReturnValue:
    """Make a growing plant that has no tag a new one."""
    plant = known_plant(plant_id)
    if BareForm().validate_on_submit() and tags.issue_missing(make_code, [plant.id]):
        flash(_("It has a new tag. Print it with: walkabout tags --all"))
    return redirect(url_for("plant_tags.page", plant_id=plant.id))


@blueprint.post("/plants/<plant_id>/tags/<code>/retire")
def retire(plant_id: str, code: str) -> ResponseReturnValue:
    """Take a tag down. Its code still leads to the plant."""
    plant = known_plant(plant_id)
    if BareForm().validate_on_submit():
        _tag_of(plant, code)
        tags.retire_tag(code, clock.now())
        flash(_("%(code)s is taken down. Whoever opens it is led to this plant.", code=shown(code)))
    return redirect(url_for("plant_tags.page", plant_id=plant.id))


@blueprint.post("/plants/<plant_id>/tags/<code>/give")
def give(plant_id: str, code: str) -> ResponseReturnValue:
    """Hang a tag on another plant. What was noted here stays here."""
    plant = known_plant(plant_id)
    _tag_of(plant, code)
    form = GiveForm()
    if form.validate_on_submit():
        try:
            other = chosen_plant(form.other.data)
            tags.give_tag(code, other.id)
        except BadInput as error:
            form.other.errors = [error.message]
        else:
            flash(
                _(
                    "%(code)s leads here now. The story of %(name)s stays with it.",
                    code=shown(code),
                    name=plant.name,
                )
            )
            return redirect(url_for("plant_tags.page", plant_id=other.id))
    return _page(plant, form, giving=code)


def _page(plant: Plant, form: GiveForm, giving: str = "") -> ResponseReturnValue:
    merged = kin.kin(plant.id).merged_ids
    found = tags.tags_of(plant.id, merged)
    page = render_template(
        "plants/tags.html",
        plant=plant,
        tags=found,
        bears_one=any(tag.state == "hanging" and tag.limb_id is None for tag in found),
        limbs={limb.id: limb for limb in limbs.limbs_of(plant.id, merged)},
        form=form,
        giving=giving,
        names=names_to_offer(plant.id),
    )
    return make_response(page, 422 if form.errors else 200)


def _tag_of(plant: Plant, code: str) -> tags.Tag:
    found = tags.tag(code)
    return found if found is not None and found.plant_id == plant.id else abort(404)
