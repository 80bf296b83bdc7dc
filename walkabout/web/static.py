"""Static files under addresses that name the program version, so that a browser may keep them for good."""

import mimetypes

from flask import Blueprint, Flask, Response, send_from_directory, url_for

from walkabout import assets
from walkabout.web.access import open_to_all

blueprint = Blueprint("static", __name__)
_DAY_SECONDS = 24 * 3600
_YEAR_SECONDS = 365 * _DAY_SECONDS

# The platform's own table may miss these or call them otherwise, and modules need the right type.
mimetypes.add_type("text/javascript", ".js")
mimetypes.add_type("application/manifest+json", ".webmanifest")


def asset(path: str) -> str:
    """The address of a static file in this version of the program."""
    return url_for("static.file", version=assets.program_version(), path=path)


@blueprint.get("/static/<version>/<path:path>")
@open_to_all
def file(version: str, path: str) -> Response:
    """One static file. An address of another version gives the file of this one, not to be kept."""
    response = send_from_directory(assets.STATIC, path)
    if version == assets.program_version():
        response.headers["Cache-Control"] = f"public, max-age={_YEAR_SECONDS}, immutable"
    else:
        response.headers["Cache-Control"] = "no-cache"
    return response


@blueprint.get("/favicon.ico")
@open_to_all
def favicon() -> Response:
    """The icon that browsers ask for by themselves."""
    return send_from_directory(assets.STATIC, "icons/favicon.ico", max_age=_DAY_SECONDS)


def add_to(app: Flask) -> None:
    """Let templates write `asset("css/page.css")`."""
    app.jinja_env.globals["asset"] = asset
    app.jinja_env.globals["program_version"] = assets.program_version
