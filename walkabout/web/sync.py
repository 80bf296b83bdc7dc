"""The exchange with phones over HTTP: entries in, the list of pages out.

These requests carry no form token, because an entry may wait on a phone for weeks. What stands for it: the
session cookie (SameSite=Lax), JSON, a header of our own, which no foreign page can add without asking first,
and a browser's own word on where the request comes from. Source: OWASP Cross-Site Request Forgery Prevention
Cheat Sheet, "Fetch Metadata" and "Custom Request Headers".
"""

import json
from typing import Any

from flask import Blueprint, Response, jsonify, make_response, request
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _
from werkzeug.exceptions import RequestEntityTooLarge

from walkabout.assets import program_version
from walkabout.records import yards
from walkabout.sync import inbox, pages
from walkabout.web import access, clock

blueprint = Blueprint("sync", __name__, url_prefix="/sync")


class Problem(Exception):
    """A request that is turned away whole; nothing of it is kept."""

    def __init__(self, status: int, name: str, detail: str) -> None:
        super().__init__(detail)
        self.status, self.name, self.detail = status, name, detail


@blueprint.errorhandler(Problem)
def _tell(problem: Problem) -> ResponseReturnValue:
    # RFC 9457
    body = {
        "type": f"/help#{problem.name}",
        "title": problem.name.replace("-", " ").capitalize(),
        "status": problem.status,
        "detail": problem.detail,
    }
    response = make_response(jsonify(body), problem.status)
    response.mimetype = "application/problem+json"
    return response


@blueprint.after_request
def _not_kept(response: Response) -> Response:
    response.headers["Cache-Control"] = "no-store"
    return response


@blueprint.post("/entries")
@access.open_to_all  # asked for below: a script is told what to do, not led to the sign-in page
def entries() -> ResponseReturnValue:
    """Take a batch of entries; the answer comes after the commit and speaks of each on its own."""
    _require_own_script()
    here = _require_person()
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
    person = _require_person().person
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


def _require_person() -> Any:
    here = access.signed_in()
    if here is None:
        raise Problem(
            401, "sign-in", _("Nobody is signed in here. What waits stays on the phone. Sign in to send it.")
        )
    named = request.headers.get("X-Walkabout-Person")
    if named is not None and named != here.person.id:
        raise Problem(
            403,
            "other-person",
            _(
                "Somebody else is signed in here by now. What waits stays on the phone. Sign in again to send it."
            ),
        )
    return here


def _require_own_script() -> None:
    if request.mimetype != "application/json":
        raise Problem(415, "not-json", _("Entries are sent as JSON. Nothing of this request is kept."))
    if request.headers.get("X-Walkabout") != "entries":
        raise Problem(
            400, "no-header", _("The header X-Walkabout is missing. Nothing of this request is kept.")
        )
    origin, site = request.headers.get("Origin"), request.headers.get("Sec-Fetch-Site")
    if origin is None and site is None:
        raise Problem(
            403,
            "no-origin",
            _(
                "The browser does not say where this comes from. Nothing of it is kept. Use a current browser."
            ),
        )
    if (origin is not None and origin not in yards.origins()) or site not in (None, "same-origin"):
        raise Problem(
            403,
            "foreign-origin",
            _(
                "This comes from an address that is not one of the yard's. Nothing of it is kept. Open the yard's own address."
            ),
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
