"""A plant that was recorded twice: saying so, and undoing it."""

from flask import Blueprint, abort, flash, make_response, redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _
from flask_babel import lazy_gettext
from flask_wtf import FlaskForm
from wtforms import StringField
from wtforms.validators import Length

from walkabout.errors import BadInput
from walkabout.records import kin, merges, plants, tags
from walkabout.records.database import writing
from walkabout.tags.codes import make_code
from walkabout.web import access
from walkabout.web.forms import BareForm
from walkabout.web.known_plant import known_plant
from walkabout.web.plant_choice import chosen_plant, names_to_offer

blueprint = Blueprint("merges", __name__)


class MergeForm(FlaskForm):
    """The other record of the same plant."""

    other = StringField(lazy_gettext("This is the same plant as"), [Length(max=120)])


@blueprint.route("/plants/<plant_id>/merge", methods=["GET", "POST"])
def page(plant_id: str) -> ResponseReturnValue:
    """Say that this plant was recorded before under another name; that record takes it in."""
    plant = known_plant(plant_id)
    form = MergeForm()
    if form.validate_on_submit():
        try:
            with writing():
                last = merges.merge_plants(plant.id, chosen_plant(form.other.data).id)
                tags.issue_missing(make_code, [last])
        except BadInput as error:
            form.other.errors = [error.message]
        else:
            flash(_("%(name)s is told here now. The owner can undo that.", name=plant.name))
            return redirect(url_for("merges.page", plant_id=last))
    answer = render_template(
        "merges/merge.html",
        form=form,
        plant=plant,
        merged=[other for other in map(plants.plant, kin.kin(plant.id).merged_ids) if other is not None],
        names=names_to_offer(plant.id),
    )
    return make_response(answer, 422 if form.errors else 200)


@blueprint.post("/plants/<plant_id>/merge/undo")
@access.owner_only
def undo(plant_id: str) -> ResponseReturnValue:
    """Let a merged plant be one of its own again."""
    if not BareForm().validate_on_submit():
        abort(400)
    merges.undo_merge(plant_id)
    flash(_("It is a plant of its own again, with its own story and tag."))
    return redirect(url_for("merges.page", plant_id=plant_id))
