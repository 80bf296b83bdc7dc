"""The grower's manual. Its pages hold nothing of the yard, so strangers may read them and phones keep them."""

from dataclasses import dataclass
from functools import cache
from importlib import resources

from flask import Blueprint, abort, render_template
from flask.typing import ResponseReturnValue
from markupsafe import Markup

from walkabout.web.access import open_to_all

blueprint = Blueprint("manual", __name__)
FIRST = "walk"
# In reading order. Each is a fragment of HTML in walkabout/manual, of which the first line is its title.
PAGES = (FIRST, "line", "offline", "dates", "tags", "people", "safety")


@dataclass(frozen=True, slots=True)
class Page:
    """One page of the manual; `body` is our own HTML."""

    name: str
    title: str
    body: Markup


@cache
def pages() -> dict[str, Page]:
    """All pages by name, in reading order."""
    found = {}
    for name in PAGES:
        text = resources.files("walkabout").joinpath("manual", f"{name}.html").read_text(encoding="utf-8")
        title, _, body = text.partition("\n")
        found[name] = Page(name, title, Markup(body))  # noqa: S704 -- a file of the program, no input
    return found


@blueprint.get("/help")
@blueprint.get("/help/<name>")
@open_to_all
def page(name: str = FIRST) -> ResponseReturnValue:
    """One page of the manual."""
    if name not in pages():
        abort(404)
    return render_template("manual/page.html", page=pages()[name], pages=pages().values())
