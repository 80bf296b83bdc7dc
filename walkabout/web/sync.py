"""The exchange with phones over HTTP: entries in, the list of pages out."""

import json
from typing import Any

from flask import Blueprint, jsonify, make_response, request
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _
from werkzeug.exceptions import RequestEntityTooLarge

from walkabout.assets import program_version
from walkabout.records import yards
from walkabout.sync import inbox, pages
from walkabout.web import access, clock, exchange
from walkabout.web.exchange import Problem

blueprint = Blueprint("sync", __name__, url_prefix="/sync")
exchange.speak(blueprint)


@blueprint.post("/entries")
@access.open_to_all  # asked for below: a script is told what to do, not led to the sign-in page
def entries() -> ResponseReturnValue:
    """Take a batch of entries; the answer comes after the commit and speaks of each on its own."""
    exchange.require_own_script("entries", ("application/json",), _("Entries are sent as JSON."))
    here = exchange.require_person()
    batch = _batch(_body())
    answers = inbox.take(batch, here.person, clock.the_yard(), clock.now())
    return jsonify(
        database=yards.database_id(),
        server_time=clock.now().isoformat(timespec="milliseconds"),
        answers=[{"id": answer.id, "word": answer.word, "reason": answer.reason} for answer in answers],
    )


@blueprint.get("/pages")
@access.open_to_all  # as above
def page_list() -> ResponseReturnValue:
    """The pages that this person's phone is to keep; 304 when `have` is the token of that very list."""
    person = exchange.require_person().person
    today = clock.today()
    if request.args.get("have") == pages.listing_token(person.id, today):
        return make_response("", 304)
    listing = pages.listing(person.id, today)
    return jsonify(
        person=person.id,
        yard_date=today.isoformat(),
        program=program_version(),
        token=listing.token,
        pages=[
            {
                "path": page.path,
                "tags": page.tags,
                "retired": page.retired,
                "version": page.version,
                "walked": page.walked,
            }
            for page in listing.pages
        ],
    )


def _body() -> Any:
    request.max_content_length = inbox.MOST_BYTES
    try:
        return json.loads(request.get_data(), parse_constant=_no_number)
    except RequestEntityTooLarge:
        raise _too_much() from None
    except (ValueError, RecursionError):
        raise Problem(400, "unreadable", _("This is no JSON. Nothing of this request is kept.")) from None


def _batch(body: Any) -> list[object]:
    if not isinstance(body, dict) or not body.keys() <= {"entries", "sent_at"}:
        raise Problem(
            400, "unreadable", _("A request holds entries and sent_at. Nothing of this one is kept.")
        )
    batch = body.get("entries")
    if not isinstance(batch, list):
        raise Problem(
            400, "unreadable", _("The entries must come as a list. Nothing of this request is kept.")
        )
    if len(batch) > inbox.MOST_ENTRIES:
        raise _too_much()
    return batch


def _too_much() -> Problem:
    detail = _(
        "At most %(entries)d entries and %(kilobytes)d kB are taken at once. Nothing of this request is kept. Send it in halves.",
        entries=inbox.MOST_ENTRIES,
        kilobytes=inbox.MOST_BYTES // 1000,
    )
    return Problem(413, "too-much", detail)


def _no_number(text: str) -> float:
    raise ValueError(f"{text} is no number")
