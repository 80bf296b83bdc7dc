"""Pages that a phone keeps: they say whose they are and which version, and hold no form token."""

from collections.abc import Callable

from flask import Response, make_response, request

from walkabout.web import access


def kept_page(version: str, render: Callable[[], str]) -> Response:
    """Answer with a page to keep, or with 304 if the phone has this version.

    An address with a question mark is that of a passing view (a filter, "Kept"), which no phone keeps.

    Args:
        version: as walkabout.sync.pages gives it.
        render: makes the page; called only if it has to be sent.
    """
    here = access.signed_in()
    if request.query_string or here is None:
        return make_response(render())
    # The person belongs to it: the browser's own cache would else show one person's page to the next on a 304.
    etag = f"{version}.{here.person.id}"
    unchanged = request.if_none_match.contains_weak(etag)
    response = Response(status=304) if unchanged else make_response(render())
    response.set_etag(etag, weak=True)  # weak: the same page is sent plain and compressed
    response.headers["X-Walkabout-Person"] = here.person.id
    return response
