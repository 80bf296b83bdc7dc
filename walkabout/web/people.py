"""Signing in and out, one's own phones and password, and, for the owner, the people of the yard."""

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _
from werkzeug.exceptions import NotFound

from walkabout.errors import BadInput
from walkabout.records import people, sessions
from walkabout.web import access, clock
from walkabout.web.forms import BareForm, FirstPasswordForm, KeeperForm, PasswordForm, SignInForm
from walkabout.web.limits import REFUSED, failed_tries

blueprint = Blueprint("people", __name__)


def _phone_label() -> str:
    """How a signed-in browser is called in the list of phones, from what it says of itself."""
    agent = request.user_agent.string
    device = next(
        (word for word in ("iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux") if word in agent), ""
    )
    browser = next((word for word in ("Firefox", "Edg", "Chrome", "Safari") if word in agent), "")
    words = " ".join(filter(None, (device, {"Edg": "Edge"}.get(browser, browser))))
    return words or "browser"


@blueprint.route("/sign-in", methods=["GET", "POST"])
@failed_tries
@access.open_to_all
def sign_in() -> ResponseReturnValue:
    """Ask for name and password; lead on to the page that was asked for."""
    form = SignInForm()
    onward = access.own_path(request.args.get("next")) or url_for("plants.yard")
    status = 200
    if form.validate_on_submit():
        person = people.check_password(form.name.data, form.password.data)
        if person is not None:
            access.begin_session(person.id, _phone_label())
            return redirect(onward)
        form.form_errors.append(_("Name and password do not go together. Nothing is lost; try again."))
        status = REFUSED
    return render_template("people/sign_in.html", form=form), status


@blueprint.route("/enter/<token>", methods=["GET", "POST"])
@failed_tries
@access.open_to_all
def enter(token: str) -> ResponseReturnValue:
    """A one-time link. Opening it shows a button and pressing that uses it up, so that a preview does not."""
    form = BareForm()
    if form.validate_on_submit():
        person = sessions.redeem_link(token, clock.now())
        if person is None:
            return render_template("people/link_spent.html"), REFUSED
        access.begin_session(person.id, _phone_label())
        return redirect(url_for("plants.yard"))
    return render_template("people/enter.html", form=form)


@blueprint.post("/sign-out")
def sign_out() -> ResponseReturnValue:
    """End this browser's session. What waits on the phone stays there."""
    if BareForm().validate_on_submit():
        access.leave_session()
    return redirect(url_for("people.sign_in"))


@blueprint.get("/you")
def you() -> ResponseReturnValue:
    """One's name, one's signed-in phones, and the way out."""
    here = access.require_sign_in()
    phones = sessions.sessions_of(here.person.id, clock.now())
    return render_template("people/you.html", here=here, phones=phones, form=BareForm())


@blueprint.post("/you/phones/<session_id>/end")
def end_phone(session_id: str) -> ResponseReturnValue:
    """Sign out one of one's own phones from here."""
    here = access.require_sign_in()
    if BareForm().validate_on_submit():
        if not sessions.end_session(session_id, here.person.id, clock.now()):
            raise NotFound
        flash(_("That phone is signed out. What waits on it stays on it."))
    return redirect(url_for("people.you"))


@blueprint.route("/you/password", methods=["GET", "POST"])
@failed_tries
def password() -> ResponseReturnValue:
    """Change one's own password, against the present one."""
    here = access.require_sign_in()
    form = PasswordForm()
    status = 200
    if form.validate_on_submit():
        if people.check_password(here.person.name, form.present.data) is None:
            form.present.errors = [_("This is not the present password. It is not changed.")]
            status = REFUSED
        else:
            people.change_password(here.person.id, form.new.data)
            flash(_("The password is changed. Phones that are signed in stay signed in."))
            return redirect(url_for("people.you"))
    return render_template("people/password.html", form=form), status


@blueprint.route("/people", methods=["GET", "POST"])
@access.owner_only
def everyone() -> ResponseReturnValue:
    """The people of the yard; the owner adds a keeper."""
    form = KeeperForm()
    if form.validate_on_submit():
        try:
            keeper = people.add_person(form.name.data, form.password.data, "keeper")
        except BadInput as error:
            form.name.errors = [error.message]
        else:
            flash(_("%(name)s can sign in now.", name=keeper.name))
            return redirect(url_for("people.everyone"))
    return render_template("people/people.html", form=form, people=people.people())


@blueprint.post("/people/<person_id>/end")
@access.owner_only
def end_keeper(person_id: str) -> ResponseReturnValue:
    """A keeper keeps this yard no more; the entries stay, with the name."""
    here = access.require_sign_in()
    if BareForm().validate_on_submit():
        keeper = people.person(person_id)
        if keeper is None or keeper.id == here.person.id:
            raise NotFound
        people.end_membership(person_id)
        flash(_("%(name)s is signed out everywhere and cannot sign in. The entries stay.", name=keeper.name))
    return redirect(url_for("people.everyone"))


@blueprint.route("/people/<person_id>/password", methods=["GET", "POST"])
@access.owner_only
def reset_password(person_id: str) -> ResponseReturnValue:
    """Give a keeper who forgot the password a new first one, and sign out the keeper's phones."""
    keeper = people.person(person_id)
    if keeper is None or keeper.role != "keeper":
        raise NotFound
    form = FirstPasswordForm()
    if form.validate_on_submit():
        people.change_password(keeper.id, form.password.data)
        sessions.end_sessions(keeper.id, clock.now())
        flash(
            _(
                "%(name)s can sign in with the new password. What waits on phones stays on them.",
                name=keeper.name,
            )
        )
        return redirect(url_for("people.everyone"))
    return render_template("people/reset.html", form=form, keeper=keeper), 422 if form.errors else 200
