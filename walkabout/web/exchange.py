"""What every request of a phone's script is asked, and how one that is turned away is told so.

These requests carry no form token, because an entry may wait on a phone for weeks. What stands for it: the
session cookie (SameSite=Lax), a content type and a header of our own, which no foreign page can add without asking
first, and a browser's own word on where the request comes from. Source: OWASP Cross-Site Request Forgery Prevention
Cheat Sheet, "Fetch Metadata" and "Custom Request Headers".
"""

from collections.abc import Collection

from flask import Blueprint, Response, jsonify, make_response, request
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _

from walkabout.records import yards
from walkabout.records.sessions import SignedIn
from walkabout.web import access


class Problem(Exception):
    """A request that is turned away whole; nothing of it is kept."""

    def __init__(self, status: int, name: str, detail: str) -> None:
        super().__init__(detail)
        self.status, self.name, self.detail = status, name, detail


def speak(blueprint: Blueprint) -> None:
    """Let a blueprint tell its problems, and let nothing that it says be kept on the way."""
    blueprint.register_error_handler(Problem, _tell)
    blueprint.after_request(_not_kept)


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


def _not_kept(response: Response) -> Response:
    response.headers["Cache-Control"] = "no-store"
    return response


def require_person() -> SignedIn:
    """Who is signed in, if the page says the same. Raises Problem."""
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


def require_own_script(name: str, types: Collection[str], sent_as: str) -> None:
    """Only what a script of ours sends goes on.

    Args:
        name: what the header X-Walkabout says of this request.
        types: content types that are taken.
        sent_as: a sentence that names them.

    Raises:
        Problem: it comes from elsewhere.
    """
    if request.mimetype not in types:
        detail = _("%(sent_as)s Nothing of this request is kept.", sent_as=sent_as)
        raise Problem(415, "not-taken", detail)
    if request.headers.get("X-Walkabout") != name:
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
