"""What makes the pages work without the network: worker, manifest, outbox page, shell, and the scripts' words.

All of it is open to all and tells nothing of the yard: a phone keeps one copy of it for whoever holds it.
"""

import json

from flask import Blueprint, Response, abort, current_app, jsonify, make_response, render_template, url_for
from flask.typing import ResponseReturnValue
from flask_babel import force_locale, get_locale
from flask_babel import gettext as _

from walkabout.assets import asset_paths, program_version
from walkabout.web.access import open_to_all
from walkabout.web.script_texts import TEXTS
from walkabout.web.static import asset

blueprint = Blueprint("offline", __name__)
# The worker's own modules are kept by the browser itself, together with the worker.
_WORKER = "js/worker"
_KEPT = (".js", ".css", ".svg")
_ICONS = {"any": ("icons/icon-192.png", "icons/icon-512.png"), "maskable": ("icons/maskable-512.png",)}
_PAPER = "#faf6ec"  # --paper of tokens.css by day


@blueprint.get("/sw.js")
@open_to_all
def worker() -> ResponseReturnValue:
    """The service worker's first lines: which program this is, and the files it needs."""
    program = {
        "program": program_version(),
        "assets": [
            *(asset(path) for path in asset_paths() if path.endswith(_KEPT) and not path.startswith(_WORKER)),
            texts_address(_language()),
            url_for("offline.manifest"),
        ],
        "pages": [url_for("offline.shell"), url_for("offline.outbox")],
    }
    lines = f'import {{ run }} from "{asset("js/worker.js")}";\nrun({json.dumps(program, indent=1)});\n'
    response = Response(lines, mimetype="text/javascript")
    response.headers["Cache-Control"] = "no-cache"
    response.headers["Service-Worker-Allowed"] = "/"
    return response


@blueprint.get("/manifest.webmanifest")
@open_to_all
def manifest() -> ResponseReturnValue:
    """What a phone needs to put the program on its home screen."""
    response = jsonify(
        id="/",
        name="walkabout",
        short_name="walkabout",
        description=_("The yard's plants, what ails them, what is due; with or without the network."),
        lang=_language(),
        start_url="/",
        scope="/",
        display="standalone",
        background_color=_PAPER,
        theme_color=_PAPER,
        icons=[
            {
                "src": asset(path),
                "sizes": "x".join([path[-7:-4]] * 2),
                "type": "image/png",
                "purpose": purpose,
            }
            for purpose, paths in _ICONS.items()
            for path in paths
        ],
    )
    response.mimetype = "application/manifest+json"
    response.headers["Cache-Control"] = "no-cache"
    return response


@blueprint.get("/outbox")
@open_to_all
def outbox() -> ResponseReturnValue:
    """What waits on this phone, what was refused and what was sent; the script fills it from the phone itself."""
    return _nobodys_page("offline/outbox.html")


@blueprint.get("/offline")
@open_to_all
def shell() -> ResponseReturnValue:
    """What stands in for a page that this phone does not keep."""
    return _nobodys_page("offline/shell.html")


@blueprint.get("/texts/<language>.json")
@open_to_all
def texts(language: str) -> ResponseReturnValue:
    """The words that scripts show. A word that counts has a form for "one" and one for "other"."""
    known = {str(locale) for locale in current_app.extensions["babel"].instance.list_translations()}
    if language not in known | {"en"}:
        abort(404)
    with force_locale(language):
        response = jsonify({name: _said(words) for name, words in TEXTS.items()})
    response.headers["Cache-Control"] = "no-cache"
    return response


def texts_address(language: str) -> str:
    """Where the scripts' words in a language are, in this version of the program."""
    return url_for("offline.texts", language=language, v=program_version())


def _language() -> str:
    return str(get_locale()).replace("_", "-")


def _said(words: object) -> object:
    return {form: str(said) for form, said in words.items()} if isinstance(words, dict) else str(words)


def _nobodys_page(template: str) -> ResponseReturnValue:
    response = make_response(render_template(template, signed_in=None, nobodys=True))
    response.headers["Cache-Control"] = "no-cache"
    return response
