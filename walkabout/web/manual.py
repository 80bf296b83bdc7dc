"""The grower's manual: one page, so that a phone keeps it whole. It tells nothing of the yard; strangers may read it."""

from dataclasses import dataclass
from functools import cache
from importlib import resources

from flask import Blueprint, render_template
from flask.typing import ResponseReturnValue
from markupsafe import Markup

from walkabout.sync.pages import manual_page_version
from walkabout.web.access import open_to_all
from walkabout.web.kept import kept_page

blueprint = Blueprint("manual", __name__)
# In reading order. Each is a file of HTML in walkabout/manual, of which the first line is the title.
CHAPTERS = ("walk", "many", "line", "offline", "dates", "plants", "tags", "people", "records", "safety")


@dataclass(frozen=True, slots=True)
class Chapter:
    """One chapter; `body` is our own HTML."""

    name: str
    title: str
    body: Markup


@cache
def chapters() -> tuple[Chapter, ...]:
    """All chapters in reading order."""
    found = []
    for name in CHAPTERS:
        text = resources.files("walkabout").joinpath("manual", f"{name}.html").read_text(encoding="utf-8")
        title, _, body = text.partition("\n")
        found.append(Chapter(name, title, Markup(body)))  # noqa: S704 -- a file of the program, no input
    return tuple(found)


@blueprint.get("/help")
@open_to_all
def page() -> ResponseReturnValue:
    """The whole manual."""
    return kept_page(manual_page_version(), lambda: render_template("manual/page.html", chapters=chapters()))
