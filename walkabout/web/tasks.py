"""Work that a person sets for a plant. It is ticked off by an entry of the kind "done"."""

from flask import Blueprint, redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import DateField, StringField, ValidationError
from wtforms.validators import InputRequired, Length, Optional

from walkabout.records import tasks
from walkabout.web import access, clock
from walkabout.web.known_plant import known_plant

blueprint = Blueprint("tasks", __name__)
_LONGEST_TITLE = 120
_WANTED = _("Say what is to be done.")


class TaskForm(FlaskForm):
    """What is to be done, from when, until when."""

    title = StringField(_("What is to be done"), [InputRequired(_WANTED), Length(max=_LONGEST_TITLE)])
    opens = DateField(_("From"), [InputRequired(_("Give the first day."))])
    closes = DateField(_("Until"), [Optional()])

    def validate_title(self, field: StringField) -> None:
        """A title of blanks is none."""
        if not field.data.strip():
            raise ValidationError(_WANTED)

    def validate_closes(self, field: DateField) -> None:
        """The last day is not before the first."""
        if field.data and self.opens.data and field.data < self.opens.data:
            raise ValidationError(_("The last day lies before the first. Change one of them."))


@blueprint.route("/plants/<plant_id>/tasks/add", methods=["GET", "POST"])
def add(plant_id: str) -> ResponseReturnValue:
    """Set work for a plant."""
    plant = known_plant(plant_id)
    form = TaskForm(data={"opens": clock.today()})
    if form.validate_on_submit():
        title = " ".join(form.title.data.split())
        made_by = access.require_sign_in().person.id
        tasks.add_task(plant.id, title, form.opens.data, form.closes.data, made_by)
        return redirect(url_for("plants.plant", plant_id=plant.id))
    return render_template("tasks/add.html", plant=plant, form=form), 422 if form.errors else 200
