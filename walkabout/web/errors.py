"""When something goes wrong: what happened, what is safe, what to do, in plain words."""

import math
import time
from dataclasses import dataclass

from flask import Flask, Response, current_app, make_response, render_template, request
from flask_babel import LazyString, ngettext
from flask_babel import lazy_gettext as _
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException

from walkabout.errors import BadInput, DataFolderError, NotFound, WalkaboutError
from walkabout.web.limits import limiter

_A_MINUTE = 60  # seconds


@dataclass(frozen=True, slots=True)
class Words:
    """A title and what to do, for one status."""

    title: LazyString
    what: LazyString


WORDS = {
    400: Words(_("This cannot be taken"), _("Nothing is changed. Go back and look at what was sent.")),
    403: Words(_("This is not open to you"), _("Nothing is changed. Sign in as someone who may do this.")),
    404: Words(_("There is no such page"), _("Nothing is lost. Look for the plant in the list.")),
    405: Words(
        _("This address takes no such request"), _("Nothing is changed. Go back and use the button there.")
    ),
    413: Words(
        _("This is too large"),
        _(
            "Nothing of it is kept here. Go back, where what you wrote still stands; shorten it, or choose smaller or fewer photos, and send it again."
        ),
    ),
    429: Words(_("Too many tries"), _("Nothing is lost. Wait a little, then try again.")),
    500: Words(
        _("Something broke here"),
        _(
            "What was kept before is safe. What waits on the phone stays there. Try again; if it stays, look at the log."
        ),
    ),
    507: Words(
        _("The data folder takes no more"),
        _("What was kept before is safe. Make room on the disk, then try again."),
    ),
}


def explain(app: Flask) -> None:
    """Answer every error of the app with a page, or with problem+json where JSON was asked for."""
    app.register_error_handler(CSRFError, _old_form)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(WalkaboutError, _known)
    app.register_error_handler(Exception, _unknown)


def _answer(status: int, detail: str | None = None) -> Response:
    words = WORDS.get(status, WORDS[400 if status < 500 else 500])
    what = detail or str(words.what)
    if request.accept_mimetypes.best_match(("text/html", "application/json")) == "application/json":
        body = {
            "type": "about:blank",
            "title": str(words.title),
            "status": status,
            "detail": what,
        }  # RFC 9457
        response = make_response(body)
        response.mimetype = "application/problem+json"
    elif status >= 500:
        # The database may be what broke, so this page asks for nothing of the request.
        template = current_app.jinja_env.get_template("errors/broken.html")
        response = make_response(template.render(title=words.title, what=what))
    else:
        response = make_response(render_template("errors/error.html", title=words.title, what=what))
    response.status_code = status
    response.headers["Cache-Control"] = "no-store"
    return response


def _http(error: HTTPException) -> Response:
    if error.code is None or error.code < 400:
        return make_response(error.get_response())
    if error.code == 429:
        return _too_many()
    response = _answer(error.code)
    for name, value in error.get_headers():
        if name in ("Allow", "Retry-After"):
            response.headers[name] = value
    return response


def _too_many() -> Response:
    passed = limiter.current_limit
    seconds = max(1, math.floor(passed.reset_at - time.time())) if passed else _A_MINUTE
    minutes = math.ceil(seconds / _A_MINUTE)
    words = ngettext(
        "Too many tries from here failed. Nothing is lost. Wait %(num)d minute, then try again.",
        "Too many tries from here failed. Nothing is lost. Wait %(num)d minutes, then try again.",
        minutes,
    )
    response = _answer(429, words)
    response.headers["Retry-After"] = str(seconds)
    return response


def _old_form(error: CSRFError) -> Response:
    del error
    return _answer(
        400,
        str(
            _(
                "This form is from before you signed in or out. Nothing is changed. Open the page again and send it anew."
            )
        ),
    )


def _known(error: WalkaboutError) -> Response:
    if isinstance(error, NotFound):
        return _answer(404, error.message)
    if isinstance(error, BadInput):
        return _answer(400, error.message)
    if isinstance(error, DataFolderError):
        current_app.logger.error("%s", error.message)
        return _answer(507, error.message)
    return _answer(400, error.message)


def _unknown(error: Exception) -> Response:
    current_app.logger.exception("This request broke: %s %s", request.method, request.path, exc_info=error)
    return _answer(500)
