"""The pictures of photos, for members. A name stands for one picture for good, so a browser may keep it."""

from pathlib import Path

from flask import Blueprint, Response, abort

from walkabout.records import photos

blueprint = Blueprint("photos", __name__, url_prefix="/photos")
_YEAR_SECONDS = 365 * 24 * 3600


@blueprint.get("/<name>")
def picture(name: str) -> Response:
    """A photo as it was kept."""
    return _answer(photos.picture_path(_known(name)))


@blueprint.get("/<name>/thumb")
def thumb(name: str) -> Response:
    """The small one, for lists."""
    return _answer(photos.thumb_path(_known(name)))


def _known(name: str) -> str:
    """The name of a photo that has come; only such a name is made part of a path."""
    found = photos.photo(name)
    return found.hash if found else abort(404)


def _answer(path: Path) -> Response:
    try:
        response = Response(path.read_bytes(), mimetype="image/jpeg")
    except FileNotFoundError:  # `walkabout check` names it
        abort(404)
    response.headers["Cache-Control"] = f"private, max-age={_YEAR_SECONDS}, immutable"
    return response
