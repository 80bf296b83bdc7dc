"""The yard list, the page of a plant, and adding or changing a plant."""

from typing import Any

from flask import Blueprint, abort, make_response, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _

from walkabout.records import plants, spots, tags
from walkabout.records.database import writing
from walkabout.reference.crops import crops
from walkabout.sync.pages import yard_page_version
from walkabout.tags.codes import make_code
from walkabout.web import clock
from walkabout.web.kept import kept_page
from walkabout.web.plant_forms import FilterForm, PlantForm
from walkabout.web.plant_page import plant_page

blueprint = Blueprint("plants", __name__)
PAGE_LENGTH = 500  # plants


@blueprint.get("/")
def yard() -> ResponseReturnValue:
    """The plants of the yard, narrowed by words, crop, spot and state."""
    form = FilterForm(request.args)
    form.offer(plants.crops_grown(), [(spot.id, spot.name) for spot in spots.spots()])
    wanted: dict[str, Any] = {
        "search": form.search.data or "",
        "crop": form.crop.data or "",
        "spot_id": form.spot.data or "",
        "states": [form.state.data] if form.state.data else [],
    }
    page = max(request.args.get("page", 1, type=int), 1)

    def render() -> str:
        return render_template(
            "plants/yard.html",
            form=form,
            plants=plants.plants(**wanted, limit=PAGE_LENGTH, offset=(page - 1) * PAGE_LENGTH),
            count=plants.count_plants(**wanted),
            narrowed=any(wanted.values()),
            page=page,
            page_length=PAGE_LENGTH,
        )

    return kept_page(yard_page_version(clock.today()), render)


@blueprint.get("/plants/<plant_id>")
def plant(plant_id: str) -> ResponseReturnValue:
    """The page of one plant."""
    return plant_page(plant_id)


@blueprint.route("/plants/add", methods=["GET", "POST"])
def add() -> ResponseReturnValue:
    """Add a plant; it gets its tag code at once."""
    form = PlantForm()
    if form.validate_on_submit():
        with writing():
            added = plants.add_plant(form.facts())
            tags.issue_tag(added.id, make_code)
        return redirect(url_for("plants.plant", plant_id=added.id))
    return _form_page(form, _("Add a plant"))


@blueprint.route("/plants/<plant_id>/edit", methods=["GET", "POST"])
def edit(plant_id: str) -> ResponseReturnValue:
    """Change what is recorded of a plant."""
    known = plants.plant(plant_id)
    if known is None:
        abort(404)
    form = PlantForm() if request.method == "POST" else PlantForm.of(known)
    if form.validate_on_submit():
        plants.change_plant(plant_id, form.facts())
        return redirect(url_for("plants.plant", plant_id=plant_id))
    return _form_page(form, _("Change %(name)s", name=known.name), known)


def _form_page(form: PlantForm, title: str, known: plants.Plant | None = None) -> ResponseReturnValue:
    page = render_template(
        "plants/edit.html",
        form=form,
        title=title,
        plant=known,
        crops=sorted(crop.short for crop in crops().values()),
        spots=[spot.name for spot in spots.spots()],
    )
    return make_response(page, 422 if form.errors else 200)
