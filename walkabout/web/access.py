"""Who may see a page. Every route asks for a signed-in member of the yard unless it says otherwise here."""

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar
from urllib.parse import urlsplit

from flask import Flask, current_app, g, redirect, request, session, url_for
from flask.typing import ResponseReturnValue
from werkzeug.exceptions import Forbidden

from walkabout.records import sessions
from walkabout.web import clock

_SESSION_KEY = "sign_in"
View = TypeVar("View", bound=Callable[..., Any])


def open_to_all(view: View) -> View:
    """Mark a view that strangers may open."""
    view.open_to_all = True  # type: ignore[attr-defined]
    return view


def owner_only(view: View) -> View:
    """Let only the owner of the yard pass."""

    @wraps(view)
    def checked(*args: Any, **kwargs: Any) -> Any:
        if require_sign_in().person.role != "owner":
            raise Forbidden
        return view(*args, **kwargs)

    return checked  # type: ignore[return-value]


def signed_in() -> sessions.SignedIn | None:
    """The person and the session that this request comes from, or None; read once a request."""
    if "signed_in" not in g:
        token = session.get(_SESSION_KEY)
        g.signed_in = sessions.signed_in(token, clock.now()) if isinstance(token, str) else None
    found: sessions.SignedIn | None = g.signed_in
    return found


def require_sign_in() -> sessions.SignedIn:
    """The person and session of this request.

    Raises:
        Forbidden: nobody is signed in.
    """
    found = signed_in()
    if found is None:
        raise Forbidden
    return found


def begin_session(person_id: str, label: str) -> None:
    """Sign a person in on this browser, as one row that can be ended from elsewhere."""
    session.clear()  # nothing of an earlier person stays, the form token least of all
    session.permanent = True
    session[_SESSION_KEY] = sessions.start_session(person_id, label, clock.now())
    g.pop("signed_in", None)


def leave_session() -> None:
    """Sign out on this browser and end the row."""
    found = signed_in()
    if found is not None:
        sessions.end_session(found.session_id, found.person.id, clock.now())
    session.clear()
    g.pop("signed_in", None)


def own_path(target: str | None) -> str | None:
    """The target if it is a plain path of this site, else None, so that sign-in leads nowhere else."""
    if not target or not target.startswith("/") or target.startswith("//") or "\\" in target:
        return None
    if any(ord(character) < 32 for character in target):
        return None
    parts = urlsplit(target)
    return None if parts.scheme or parts.netloc else target


def guard(app: Flask) -> None:
    """Ask for a sign-in before every view that is not open to all."""
    app.before_request(_ask)
    app.context_processor(lambda: {"signed_in": signed_in()})


def _ask() -> ResponseReturnValue | None:
    # Asked in this order, an open address such as that of a static file costs no look at the cookie.
    view = current_app.view_functions.get(request.endpoint or "")
    if view is None or getattr(view, "open_to_all", False) or signed_in() is not None:
        return None
    if request.method not in ("GET", "HEAD"):
        raise Forbidden
    return redirect(url_for("people.sign_in", next=request.full_path.rstrip("?")))
