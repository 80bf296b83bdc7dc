"""One note on many plants: the groups to choose from, the page of a group, and noting without script.

With script the page of a group keeps in the outbox, an entry for each ticked plant (static/js/many.js); it is kept on
phones and works without the network. Without script its choices lead to `note`.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from flask import Blueprint, abort, make_response, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _

from walkabout.care.many import Group, group_choices, group_facts, groups
from walkabout.care.plant_view import KindForm, yard_facts
from walkabout.entries.fields import SeveralField
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Kind
from walkabout.entries.kinds import KINDS, headline
from walkabout.errors import BadInput
from walkabout.records.changes import yard_change
from walkabout.records.entries import Entry, standing_ids
from walkabout.records.walk import Stand, stands
from walkabout.sync.pages import group_page_version, many_page_version
from walkabout.sync.shape import is_id
from walkabout.web import clock
from walkabout.web.entries import kind_on_plants
from walkabout.web.forms import BareForm
from walkabout.web.keeping import KeepForm, new_entry_id
from walkabout.web.kept import kept_page
from walkabout.web.many_keeping import keep_on_many, kept_on_many, take_back_on_many

blueprint = Blueprint("many", __name__, url_prefix="/many")


@blueprint.get("")
def every() -> ResponseReturnValue:
    """The groups of the yard."""
    made = groups(stands())
    version = many_page_version(made, clock.today(), yard_change())
    return kept_page(version, lambda: render_template("many/groups.html", groups=made))


@blueprint.get("/<key>")
def group(key: str) -> ResponseReturnValue:
    """One group: what is likely to be noted on it, and its plants to be ticked."""
    made = groups(stands())
    found = _named(made, key)

    def render() -> str:
        facts = group_facts(found, clock.the_yard(), clock.today())
        others = [other for other in made if other.sort in ("place", "crop")]
        return render_template(
            "many/group.html",
            group=found,
            others=others,
            places={} if found.ticked else _places(others),
            ticked=_ready(found),
            view={
                "likely": group_choices(facts),
                "kinds": [KindForm(one, one.draw(facts)) for one in KINDS.values() if one.on_plants],
            },
        )

    return kept_page(group_page_version(found, clock.today(), yard_change()), render)


@blueprint.route("/<key>/note/<kind_key>", methods=["GET", "POST"])
def note(key: str, kind_key: str) -> ResponseReturnValue:
    """Note the same on the plants of a group, online and without script."""
    found, chosen = _named(groups(stands()), key), kind_on_plants(kind_key)
    facts = group_facts(found, clock.the_yard(), clock.today())
    if request.method == "GET":
        form = chosen.draw(facts, _preset(chosen.draw(facts)) or None)
        return _form_page(found, chosen, form, KeepForm.fresh(clock.today()), _ready(found))
    form, keeping = chosen.posted(request.form, facts), KeepForm()
    named = set(request.form.getlist("plant"))
    plants = [stand for stand in found.plants if stand.plant_id in named]
    fields_are_good, frame_is_good = form.validate(), keeping.validate_on_submit()
    if not plants:
        keeping.form_errors.append(_("No plant is ticked. Nothing is kept yet. Tick at least one."))
    elif fields_are_good and frame_is_good:
        try:
            press_id = keep_on_many(
                plants, chosen.key, form.details(), keeping.seen_on.data, _press_id(keeping.entry_id.data)
            )
        except BadInput as error:
            keeping.form_errors.append(error.message)
        else:
            return redirect(url_for("many.kept", press_id=press_id))
    return _form_page(found, chosen, form, keeping, {stand.plant_id for stand in plants})


@blueprint.get("/kept/<press_id>")
def kept(press_id: str) -> ResponseReturnValue:
    """What one press has kept, and the way to take all of it back."""
    made = _made(press_id)
    stands_still = standing_ids(entry.id for _stand, entry in made)
    first = made[0][1]
    facts = replace(yard_facts(clock.the_yard(), clock.today()), crop=_one_crop(made))
    return render_template(
        "many/kept.html",
        made=made,
        standing=stands_still,
        words=headline(first.kind, first.details, facts),
        seen_on=first.seen_on,
        press_id=press_id,
        form=BareForm(),
    )


@blueprint.post("/kept/<press_id>/withdraw")
def withdraw(press_id: str) -> ResponseReturnValue:
    """Take back all that one press has kept."""
    if not BareForm().validate_on_submit():
        abort(400)
    _made(press_id)
    take_back_on_many(press_id)
    return redirect(url_for("many.kept", press_id=press_id))


def _ready(found: Group) -> set[str]:
    """The plants that stand ready ticked."""
    return {stand.plant_id for stand in found.plants} if found.ticked else set()


def _places(others: Sequence[Group]) -> dict[str, str]:
    """For each plant the places in the list of the groups that it is in."""
    places: dict[str, list[str]] = defaultdict(list)
    for place, group in enumerate(others):
        for stand in group.plants:
            places[stand.plant_id].append(str(place))
    return defaultdict(str, {plant_id: " ".join(found) for plant_id, found in places.items()})


def _named(made: Sequence[Group], key: str) -> Group:
    return next((group for group in made if group.key == key), None) or abort(404)


def _made(press_id: str) -> list[tuple[Stand, Entry]]:
    return (kept_on_many(press_id) if is_id(press_id) else []) or abort(404)


def _one_crop(made: Sequence[tuple[Stand, Entry]]) -> str:
    crops = {stand.crop for stand, _entry in made}
    return crops.pop() if len(crops) == 1 else ""


def _press_id(sent: str | None) -> str:
    return sent if sent and is_id(sent) else new_entry_id(clock.now())


def _preset(form: EntryForm) -> dict[str, Any]:
    """Answers that an address gives, as the fields of a form take them."""
    given = {name: request.args.getlist(name) for name in request.args if name in form}
    return {
        name: values if isinstance(form[name], SeveralField) else values[0] for name, values in given.items()
    }


def _form_page(
    found: Group, chosen: Kind, form: EntryForm, keeping: KeepForm, ticked: set[str]
) -> ResponseReturnValue:
    page = render_template(
        "many/note.html", group=found, kind=chosen, form=form, keeping=keeping, ticked=ticked
    )
    return make_response(page, 422 if form.errors or keeping.errors else 200)
