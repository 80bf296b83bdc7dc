"""Bloom: the stage that buds and flowers are in, and how much of them is open."""

from collections.abc import Mapping
from typing import Any

from walkabout.entries.answers import NOT_NOTED, SHARES, joined, words_of
from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import TapField
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.texts import gettext
from walkabout.entries.texts import lazy_gettext as _
from walkabout.reference.stages import flowering_stages, known_code, next_stage, stage_words

NONE_YET = "none"
FULL_BLOOM = 65


class BloomForm(EntryForm):
    """`stage` is a stage code of the books or "none"; one that another crop has is kept too, as crops get corrected."""

    stage = TapField(_("Stage"), needed=True)
    share = TapField(_("Share of flowers open"), choices=SHARES, blank=NOT_NOTED)

    def offer(self) -> None:
        stages = [(stage.code, stage.name) for stage in flowering_stages(self.facts.crop)]
        self.stage.offer([*stages, (NONE_YET, _("None yet"))])
        self.stage.allows = known_code

    def preselected(self) -> Mapping[str, Any]:
        stage = likely_stage(self.facts)
        return {"stage": stage} if stage else {}

    def stored(self, given: dict[str, Any]) -> dict[str, Any]:
        if given.get("stage") == NONE_YET:
            given.pop("share", None)
        return given


def likely_stage(facts: KindFacts) -> str | None:
    """The stage that stands ready: the next one after the last seen this season, else full bloom.

    A crop without full bloom in the books gives its open flowers (banana), or nothing (fig).
    """
    offered = flowering_stages(facts.crop)
    tracks = {stage.track for stage in offered}
    for code in facts.stages:
        if code == NONE_YET:
            break
        if code.partition("/")[0] not in tracks:  # leaves and shoots say nothing of the flowers
            continue
        after = next_stage(facts.crop, code)
        return after.code if after in offered else None
    blooming = [stage for stage in offered if stage.phase == "bloom"]
    nearest = min(blooming, key=lambda stage: abs(stage.bbch - FULL_BLOOM), default=None)
    return nearest.code if nearest else None


def headline(details: Details, facts: KindFacts) -> str:
    """Such as "Full bloom, 50 to 75 % open"."""
    if details["stage"] == NONE_YET:
        return gettext("No bloom yet")
    share = words_of(SHARES, details.get("share"))
    return joined(
        stage_words(facts.crop, details["stage"]), gettext("%(share)s open", share=share) if share else None
    )


def subject(details: Details) -> str:
    """The track of the stage, since a plant stands in several at once; "none" for none yet."""
    return str(details["stage"]).partition("/")[0]


KIND = Kind("bloom", _("Bloom"), 1, BloomForm, headline, subject)
