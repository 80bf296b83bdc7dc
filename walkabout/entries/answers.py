"""Answers that several kinds offer: how much of the plant, which part of it."""

from typing import Any

from walkabout.entries.texts import lazy_gettext as _

NOT_NOTED = _("Not noted")

SHARES: tuple[tuple[str, Any], ...] = (
    ("0-10", _("up to 10\u00a0%")),
    ("10-25", _("10 to 25\u00a0%")),
    ("25-50", _("25 to 50\u00a0%")),
    ("50-75", _("50 to 75\u00a0%")),
    ("75-100", _("over 75\u00a0%")),
)

PARTS: tuple[tuple[str, Any], ...] = (
    ("young_leaves", _("young leaves")),
    ("leaves", _("leaves")),
    ("shoots", _("shoots")),
    ("buds", _("buds")),
    ("flowers", _("flowers")),
    ("fruit", _("fruit")),
    ("limbs", _("limbs")),
    ("bark", _("bark or trunk")),
    ("roots", _("roots")),
    ("whole", _("whole plant")),
)


def words_of(choices: tuple[tuple[str, Any], ...], value: str | None) -> str | None:
    """Words of a stored answer; an answer that is offered no more, as it is; None for none."""
    return None if value is None else str(dict(choices).get(value, value))


def joined(*parts: str | None) -> str:
    """What was noted, in one line."""
    return ", ".join(part for part in parts if part)


def line(*parts: str | None) -> str:
    """What was noted, in one line that begins with a capital letter."""
    text = joined(*parts)
    return text[:1].upper() + text[1:]
