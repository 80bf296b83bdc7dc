"""The yard list, the page of a plant, and adding or changing a plant."""

from typing import Any

from flask import Blueprint, flash, make_response, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _

from walkabout.care.looks import need_a_look
from walkabout.care.yard_list import ENDED, NOT_YET, yard_lists
from walkabout.errors import BadInput
from walkabout.records import plants, spots, tags
from walkabout.records.database import writing
from walkabout.reference.crops import crops
from walkabout.reference.training import trainings
from walkabout.sync.pages import yard_page_version
from walkabout.tags.codes import make_code
from walkabout.web import clock
from walkabout.web.kept import kept_page
from walkabout.web.known_plant import known_plant
from walkabout.web.plant_choice import names_to_offer
from walkabout.web.plant_filters import FilterForm
from walkabout.web.plant_forms import PlantForm
from walkabout.web.plant_page import plant_page

blueprint = Blueprint("plants", __name__)
PAGE_LENGTH = 500  # plants


@blueprint.get("/")
def yard() -> ResponseReturnValue:
    """The plants of the yard: those that grow, and folded away those that do not yet or no more."""
    return kept_page(yard_page_version(clock.today()), _yard_list)


def _yard_list() -> str:
    form = FilterForm(request.args)
    form.offer(plants.crops_grown(), [(spot.id, spot.name) for spot in spots.spots()])
    looks = need_a_look(clock.today())
    wanted: dict[str, Any] = {
        "search": form.search.data or "",
        "crop": form.crop.data or "",
        "spot_id": form.spot.data or "",
        "ids": looks if form.look.data else None,
    }
    state = form.state.data or ""
    page = max(request.args.get("page", 1, type=int), 1)
    lists = yard_lists(wanted, state)
    first = lists[0].ids[(page - 1) * PAGE_LENGTH : page * PAGE_LENGTH]
    folded = lists[1:] if page == 1 else ()  # on the first page only
    shown = plants.plants_by_id(
        [*first, *(plant_id for part in folded for plant_id in part.ids[:PAGE_LENGTH])]
    )
    names: dict[tuple[str, ...], str] = {NOT_YET: _("Wanted and ordered"), ENDED: _("Dead and gone")}
    return render_template(
        "plants/yard.html",
        form=form,
        plants=[shown[plant_id] for plant_id in first],
        count=len(lists[0].ids),
        whole=all(len(part.ids) <= PAGE_LENGTH for part in lists),
        folded=[
            (names[part.states], [shown[plant_id] for plant_id in part.ids[:PAGE_LENGTH]], len(part.ids))
            for part in folded
            if part.ids
        ],
        looks=looks,
        narrowed=bool(state or wanted["ids"] is not None or any(wanted.values())),
        page=page,
        page_length=PAGE_LENGTH,
    )


@blueprint.get("/plants/<plant_id>")
def plant(plant_id: str) -> ResponseReturnValue:
    """The page of one plant."""
    return plant_page(plant_id)


@blueprint.route("/plants/add", methods=["GET", "POST"])
def add() -> ResponseReturnValue:
    """Add a plant; one that grows gets its tag code at once."""
    form = PlantForm()
    if form.validate_on_submit():
        with writing():
            added = plants.add_plant(form.facts())
            tags.issue_missing(make_code, [added.id])
        return redirect(url_for("plants.plant", plant_id=added.id))
    return _form_page(form, _("Add a plant"))


@blueprint.route("/plants/<plant_id>/edit", methods=["GET", "POST"])
def edit(plant_id: str) -> ResponseReturnValue:
    """Change what is recorded of a plant. One that begins to grow gets a tag; of one that ended it can be taken back."""
    known = known_plant(plant_id)
    form = PlantForm() if request.method == "POST" else PlantForm.of(known, _parent_name(known))
    if form.validate_on_submit():
        try:
            with writing():
                changed = plants.change_plant(known.id, form.facts())
                if changed.state == "growing" != known.state:
                    tags.issue_missing(make_code, [known.id])
        except BadInput as error:
            form.raised_from.errors = [error.message]
        else:
            if changed.state in ENDED and known.state not in ENDED and changed.code:
                flash(_("Its story stays. Its tag can be taken back now, for another plant."))
                return redirect(url_for("plant_tags.page", plant_id=known.id))
            return redirect(url_for("plants.plant", plant_id=known.id))
    return _form_page(form, _("Change %(name)s", name=known.name), known)


def _parent_name(plant: plants.Plant) -> str:
    parent = plants.plant(plant.raised_from) if plant.raised_from else None
    return parent.name if parent else ""


def _form_page(form: PlantForm, title: str, known: plants.Plant | None = None) -> ResponseReturnValue:
    page = render_template(
        "plants/edit.html",
        form=form,
        title=title,
        plant=known,
        crops=sorted(crop.short for crop in crops().values()),
        spots=[spot.name for spot in spots.spots()],
        trainings=trainings().values(),
        names=names_to_offer(known.id if known else ""),
    )
    return make_response(page, 422 if form.errors else 200)
