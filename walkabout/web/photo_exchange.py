"""The exchange of photos with phones over HTTP, beside that of entries: neither waits for the other.

A photo goes to the address that its own bytes make, so that sending it again, from anywhere, keeps it once.
"""

import hashlib

from flask import Blueprint, jsonify, make_response, request
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _
from werkzeug.exceptions import RequestEntityTooLarge

from walkabout.errors import BadInput, Conflict
from walkabout.records import photos, yards
from walkabout.sync import photographs
from walkabout.web import access, clock, exchange
from walkabout.web.exchange import Problem

blueprint = Blueprint("photo_exchange", __name__, url_prefix="/sync/photos")
exchange.speak(blueprint)
_TYPES = ("image/jpeg", "image/png", "image/webp")
_MISSING = "missing"


@blueprint.put("/<name>")
@access.open_to_all  # asked for below: a script is told what to do, not led to the sign-in page
def put(name: str) -> ResponseReturnValue:
    """Take a photo whole; the answer comes after the commit."""
    exchange.require_own_script("photo", _TYPES, _("Photos are sent as JPEG, PNG or WebP."))
    here = exchange.require_person()
    try:
        return _told(photographs.take(name, _body(), here.person))
    except Conflict as error:
        raise Problem(409, "spoilt", error.message) from None
    except BadInput as error:
        raise Problem(422, "refused", error.message) from None


@blueprint.get("/<name>")
@access.open_to_all  # as above
def ask(name: str) -> ResponseReturnValue:
    """Whether a photo is here, so that a phone need not send it again: "here" or "missing"."""
    exchange.require_person()
    return _told(photos.HERE if photos.is_kept(name) else _MISSING)


@blueprint.get("")
@access.open_to_all  # as above
def kept_thumbs() -> ResponseReturnValue:
    """The photos whose small pictures a phone keeps, the latest first; 304 when `have` is the token of that list."""
    person = exchange.require_person().person
    shown = photos.shown_lately(photographs.MOST_KEPT_THUMBS)
    token = hashlib.sha256(" ".join((person.id, *shown)).encode()).hexdigest()[:16]
    if request.args.get("have") == token:
        return make_response("", 304)
    return jsonify(person=person.id, token=token, photos=shown)


def _body() -> bytes:
    request.max_content_length = photographs.MOST_BYTES
    try:
        return request.get_data()
    except RequestEntityTooLarge:
        detail = _(
            "A photo of at most %(most)d MB is taken at once. Nothing of this one is kept here; it stays on the phone.",
            most=photographs.MOST_BYTES // 1_000_000,
        )
        raise Problem(413, "too-much", detail) from None


def _told(word: str) -> ResponseReturnValue:
    moment = clock.now().isoformat(timespec="milliseconds")
    return jsonify(word=word, database=yards.database_id(), server_time=moment)
