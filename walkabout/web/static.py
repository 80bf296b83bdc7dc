"""Static files under addresses that name the program version, so that a browser may keep them for good."""

import mimetypes
from functools import cache

from flask import Blueprint, Flask, Response, abort, url_for

from walkabout import assets
from walkabout.web.access import open_to_all

blueprint = Blueprint("static", __name__)
_DAY_SECONDS = 24 * 3600
_YEAR_SECONDS = 365 * _DAY_SECONDS
# The platform's own table may miss these or call them otherwise, and modules need the right type.
_TYPES = {".js": "text/javascript", ".svg": "image/svg+xml", ".ico": "image/x-icon"}


def asset(path: str) -> str:
    """The address of a static file in this version of the program."""
    return url_for("static.file", version=assets.program_version(), path=path)


@blueprint.get("/static/<version>/<path:path>")
@open_to_all
def file(version: str, path: str) -> Response:
    """One static file. An address of another version gives the file of this one, not to be kept."""
    response = _file(path)
    if version == assets.program_version():
        response.headers["Cache-Control"] = f"public, max-age={_YEAR_SECONDS}, immutable"
    else:
        response.headers["Cache-Control"] = "no-cache"
    return response


@blueprint.get("/favicon.ico")
@open_to_all
def favicon() -> Response:
    """The icon that browsers ask for by themselves."""
    response = _file("icons/favicon.ico")
    response.headers["Cache-Control"] = f"public, max-age={_DAY_SECONDS}"
    return response


def add_to(app: Flask) -> None:
    """Let templates write `asset("css/page.css")`."""
    app.jinja_env.globals["asset"] = asset
    app.jinja_env.globals["program_version"] = assets.program_version


def _file(path: str) -> Response:
    if path not in assets.asset_paths():  # a closed list: no path leads outside
        abort(404)
    suffix = path[path.rfind(".") :]
    kind = _TYPES.get(suffix) or mimetypes.guess_type(path)[0] or "application/octet-stream"
    return Response(_content(path), mimetype=kind)


@cache
def _content(path: str) -> bytes:
    # All of them together are a few hundred kilobytes and belong to one version, so they are read once.
    return (assets.STATIC / path).read_bytes()
