"""Photos by an ordinary form: originals as a camera made them, made small here."""

from contextlib import closing
from typing import NamedTuple

from flask import Flask, request
from werkzeug.datastructures import MultiDict

from walkabout.errors import BadInput
from walkabout.sync import photographs
from walkabout.web import access

FIELD = "photo"
MOST_POSTED_BYTES = 52_000_000  # two of the largest originals, or four as most cameras make them
_TAKEN_AT = {"entries.note", "entries.correct"}


class PostedPhotos(NamedTuple):
    """A form with the names of its photos, old and new, and what is wrong with those that could not be kept."""

    form: MultiDict[str, str]
    faults: list[str]


def admit(app: Flask) -> None:
    """Let members post originals, which are larger than all else. To be called before the form token is looked at."""
    app.before_request(_admit)


def take_posted() -> PostedPhotos:
    """Keep the photos of this request.

    They are kept at once, whatever else the form says: if it must be shown again, they are there and stand ready.
    """
    form = MultiDict(request.form)
    names, faults = form.getlist("photos"), []
    for file in request.files.getlist(FIELD):
        with closing(file):
            sent = file.read(photographs.MOST_ORIGINAL_BYTES + 1)
        if not file.filename and not sent:
            continue  # a field without a file is sent as an empty one
        try:
            names.append(photographs.take_original(sent, access.require_sign_in().person))
        except BadInput as error:
            faults.append(f"{file.filename}: {error.message}")
    form.setlist("photos", list(dict.fromkeys(names)))
    return PostedPhotos(form, faults)


def _admit() -> None:
    posts_files = request.mimetype == "multipart/form-data" and request.endpoint in _TAKEN_AT
    if posts_files and access.signed_in() is not None:
        request.max_content_length = MOST_POSTED_BYTES
