"""Texts in the reader's language, with types; outside a request they come back in English."""

from typing import Any

import flask_babel


def gettext(text: str, **values: Any) -> str:
    """The text in the reader's language, with its values filled in."""
    return str(flask_babel.gettext(text, **values))


def ngettext(one: str, many: str, num: int, **values: Any) -> str:
    """The text for one or for many; `num` is filled in as well."""
    return str(flask_babel.ngettext(one, many, num, **values))


lazy_gettext = flask_babel.lazy_gettext
