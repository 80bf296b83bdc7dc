"""Which limb of a plant an entry is about: a field of every kind, offered where a plant has limbs."""

import re

from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import TapField
from walkabout.entries.texts import gettext
from walkabout.entries.texts import lazy_gettext as _

_ID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}", re.ASCII)


class LimbField(TapField):
    """The id of a limb; left empty for the whole plant.

    An entry is judged without looking up its plant's limbs, so any id may be kept. One that the plant does not have is
    told as a limb all the same: it may have been recorded on a plant that this one was merged into.
    """

    def offer_limbs(self, facts: KindFacts) -> None:
        """Offer the growing limbs of the plant."""
        self.offer(facts.limbs)
        self.blank = _("the whole plant")
        self.allows = lambda value: _ID.fullmatch(value) is not None
        self._names = dict((*facts.limbs, *facts.ended_limbs))

    @property
    def is_offered(self) -> bool:
        """Whether there is anything to choose from."""
        return bool(self.choices)

    @property
    def told(self) -> str:
        """The name of the limb."""
        return self._names.get(self.data, gettext("a limb")) if self.data else ""


def on_limb(words: str, limb_id: str, facts: KindFacts) -> str:
    """What was noted, with the limb that it was noted on."""
    name = dict((*facts.limbs, *facts.ended_limbs)).get(limb_id)
    if name is None:
        return gettext("%(words)s, on a limb", words=words)
    if gettext("limb") in name.casefold():  # "West limb" says so itself
        return gettext("%(words)s, on %(limb)s", words=words, limb=name)
    return gettext("%(words)s, on limb %(limb)s", words=words, limb=name)
