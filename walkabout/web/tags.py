"""The addresses that tags print. A tag opens the very page of its plant."""

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _

from walkabout.records import plants, tags
from walkabout.tags.codes import CodeError, read_code, shown
from walkabout.web import access
from walkabout.web.plant_page import plant_page
from walkabout.web.words import day_words

blueprint = Blueprint("tags", __name__)


@blueprint.get("/T/<code>")
@blueprint.get("/t/<code>")
@access.open_to_all
def tag(code: str) -> ResponseReturnValue:
    """What hangs behind a code. Strangers get one answer for every code."""
    if access.signed_in() is None:
        return render_template("tags/private.html")
    try:
        canonical = read_code(code)
    except CodeError as error:
        return _wrong(_("This code is mistyped"), error.message, typed=code)
    known = tags.tag(canonical)
    if known is None or known.plant_id is None:
        what = _(
            "%(code)s is a good code, but no tag of this yard bears it. Compare it with the tag.",
            code=shown(canonical),
        )
        return _wrong(_("This tag is not known here"), what, typed=code)
    if known.state == "retired":
        return _retired(known)
    return plant_page(known.plant_id, known.limb_id)


@blueprint.get("/tags/find")
def find() -> ResponseReturnValue:
    """Lead a typed code to its tag."""
    return redirect(url_for("tags.tag", code=request.args.get("code", "").strip()[:40] or "-"))


def _retired(tag: tags.Tag) -> ResponseReturnValue:
    plant = plants.plant(tag.plant_id or "")
    since = day_words(tag.retired_at) if tag.retired_at else _("some time")
    what = _("%(code)s was taken down (%(day)s).", code=shown(tag.code), day=since)
    if plant is not None and plant.code:
        what += " " + _("The plant now bears %(code)s.", code=shown(plant.code))
    return _wrong(_("This tag is retired"), what, plant=plant, status=410)


def _wrong(
    title: str, what: str, *, typed: str = "", plant: plants.Plant | None = None, status: int = 404
) -> ResponseReturnValue:
    page = render_template("tags/wrong.html", title=title, what=what, typed=typed, plant=plant)
    return make_response(page, status)
