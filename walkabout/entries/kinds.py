"""All kinds of entry, in the order in which they are offered."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from walkabout.entries import (
    bloom,
    damage,
    done,
    fruit_set,
    growth,
    harvest,
    measured,
    note,
    pest,
    withdrawal,
)
from walkabout.entries.facts import KindFacts
from walkabout.entries.kind import Details, Kind
from walkabout.entries.limbs import on_limb
from walkabout.entries.texts import gettext
from walkabout.errors import BadInput

KINDS: Mapping[str, Kind] = MappingProxyType(
    {
        module.KIND.key: module.KIND
        for module in (
            bloom,
            fruit_set,
            pest,
            damage,
            growth,
            harvest,
            done,
            measured,
            note,
            withdrawal,
        )
    }
)


def kind(key: object) -> Kind:
    """The kind with this key. Raises BadInput when there is none."""
    found = KINDS.get(key) if isinstance(key, str) else None
    if found is None:
        shown = str(key)[:40].encode("ascii", "backslashreplace").decode()
        raise BadInput(gettext("There is no kind of entry “%(key)s” in this program.", key=shown), "kind")
    return found


def check(kind_key: object, details: object, facts: KindFacts) -> dict[str, Any]:
    """Details to keep, from synced JSON. Raises BadInput with a reason: unknown kind, unknown field, wrong value."""
    return kind(kind_key).check(details, facts)


def from_post(kind_key: object, formdata: Any, facts: KindFacts) -> dict[str, Any]:
    """Details to keep, from an ordinary form post. Raises BadInput with a reason."""
    return kind(kind_key).from_post(formdata, facts)


def headline(kind_key: str, details: Details, facts: KindFacts) -> str:
    """Plain words for what an entry noted, and on which limb."""
    words = kind(kind_key).headline(details, facts)
    return on_limb(words, details["limb"], facts) if details.get("limb") else words


def subject(kind_key: str, details: Details) -> str:
    """What of the plant an entry is about; "" when nothing."""
    return kind(kind_key).subject(details)
