"""The forms of the people pages, and the bare form that is only a button."""

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import PasswordField, StringField
from wtforms.validators import EqualTo, InputRequired, Length

_NAME_LENGTH = 80
_PASSWORD_LENGTH = 200
_SHORTEST_PASSWORD = 8
_WANTED = _("This is empty.")


class BareForm(FlaskForm):
    """A button: nothing but the form token."""


class SignInForm(FlaskForm):
    """Name and password."""

    name = StringField(_("Name"), [InputRequired(_WANTED), Length(max=_NAME_LENGTH)])
    password = PasswordField(_("Password"), [InputRequired(_WANTED), Length(max=_PASSWORD_LENGTH)])


def _new_password(label: str) -> PasswordField:
    long_enough = Length(
        _SHORTEST_PASSWORD,
        _PASSWORD_LENGTH,
        _("Use %(min)d to %(max)d characters; a short sentence is good."),
    )
    return PasswordField(label, [InputRequired(_WANTED), long_enough])


class PasswordForm(FlaskForm):
    """The present password and a new one, twice."""

    present = PasswordField(_("Present password"), [InputRequired(_WANTED), Length(max=_PASSWORD_LENGTH)])
    new = _new_password(_("New password"))
    again = PasswordField(_("New password once more"), [EqualTo("new", _("The two new passwords differ."))])


class KeeperForm(FlaskForm):
    """A new keeper: a name and a first password, to be told in person."""

    name = StringField(_("Name"), [InputRequired(_WANTED), Length(max=_NAME_LENGTH)])
    password = _new_password(_("First password"))


class FirstPasswordForm(FlaskForm):
    """A new first password for a keeper who forgot the old one, to be told in person."""

    password = _new_password(_("New first password"))
