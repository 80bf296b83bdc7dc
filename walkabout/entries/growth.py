"""Growth: waking, leaves, flushes, new shoots, regrowth after damage, leaf fall, rest."""

from collections.abc import Iterator
from functools import lru_cache
from typing import Any, NamedTuple

from walkabout.entries.answers import line
from walkabout.entries.bloom import NONE_YET
from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import ConvertedField, NumberField, TapField
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.lengths import short_words
from walkabout.entries.texts import gettext
from walkabout.entries.texts import lazy_gettext as _
from walkabout.horticulture.units import CENTIMETRES_PER_INCH, inches
from walkabout.reference.crops import crops
from walkabout.reference.likely import likely_notes
from walkabout.reference.stages import (
    Stage,
    fruiting_stages,
    growth_stages,
    known_code,
    next_stage,
    stage_words,
)

SHOOTS = "shoots"
ABOVE_UNION, BELOW_UNION = "regrowth_above", "regrowth_below"
ABOVE_GROUND, FROM_ROOTS = "regrowth_ground", "regrowth_roots"
REGROWTH: tuple[tuple[str, Any], ...] = (
    (ABOVE_UNION, _("Regrowth from above the graft union")),
    (BELOW_UNION, _("Regrowth from below the graft union")),
    (ABOVE_GROUND, _("Regrowth from above ground")),
    (FROM_ROOTS, _("Regrowth from the roots")),
)
_NOT_ON_OWN_ROOTS = (ABOVE_UNION, BELOW_UNION)
_LEAF = "leaf"
_STAGES_IN_SIGHT = 8
_LONGEST_CM = 1000


class GrowthForm(EntryForm):
    """`stage` is a stage code of the books, as in a bloom entry; "none" for not awake yet (looked, nothing); "shoots"
    for new shoots; or where it grows anew, one of REGROWTH. A stage that another crop has is kept too."""

    stage = TapField(_("What is seen"), needed=True)
    shoot_cm = NumberField(_("Length of new shoots, cm"), low=0, high=_LONGEST_CM)
    shoot_in = ConvertedField(
        _("Length of new shoots, inches"),
        low=0,
        high=round(inches(_LONGEST_CM)),
        kept_as="shoot_cm",
        factor=CENTIMETRES_PER_INCH,
    )

    def offer(self) -> None:
        front, folded = _offered(_Order.of(self.facts))
        self.stage.offer([*front, *folded], front=len(front))
        self.stage.allows = lambda value: known_code(value) or value in dict(REGROWTH)

    def stored(self, given: dict[str, Any]) -> dict[str, Any]:
        if given.get("stage") == NONE_YET:
            given.pop("shoot_cm", None)
        return given


class _Order(NamedTuple):
    """What the order of the answers depends on."""

    crop: str
    grafted: bool | None
    month: int
    warm: bool
    southern: bool
    stages: tuple[str, ...]

    @classmethod
    def of(cls, facts: KindFacts) -> "_Order":
        return cls(facts.crop, facts.grafted, facts.today.month, facts.warm, facts.southern, facts.stages)


@lru_cache(maxsize=512)
def _offered(order: _Order) -> tuple[tuple[tuple[str, Any], ...], tuple[tuple[str, Any], ...]]:
    """What stands in sight and what is folded away, each as (value, words)."""
    ranked = [(stage.code, stage.name) for stage in dict.fromkeys(_ranked(order))]
    fruit = [(stage.code, stage.name) for stage in fruiting_stages(order.crop)]
    regrowth = [
        (value, words)
        for value, words in REGROWTH
        if (value != ABOVE_GROUND if order.grafted is not False else value not in _NOT_ON_OWN_ROOTS)
    ]
    return (
        (*ranked[:_STAGES_IN_SIGHT], (SHOOTS, _("New shoots")), (NONE_YET, none_words(order.crop))),
        (*regrowth, *ranked[_STAGES_IN_SIGHT:], *fruit),
    )


def none_words(crop: str) -> Any:
    """What one says of a plant on which nothing has moved yet."""
    return _("No new growth yet") if _evergreen(crop) else _("Not awake yet")


def _evergreen(crop: str) -> bool:
    known = crops().get(crop)
    return known is not None and known.evergreen


def _ranked(order: _Order) -> Iterator[Stage]:
    """The stage after one seen this season; those listed for the month; the other stages of growth."""
    growing = growth_stages(order.crop)
    for code in order.stages:
        after = next_stage(order.crop, code)
        if after in growing:
            yield after
    listed = likely_notes(order.crop, order.month, warm=order.warm, southern=order.southern)
    for note in listed:
        yield from (stage for stage in growing if stage.key == note.choice)
    yield from growing


def headline(details: Details, facts: KindFacts) -> str:
    """Such as "Bud break", "New shoots, 30 cm long" or "Regrowth from below the graft union"."""
    stage, length = details["stage"], details.get("shoot_cm")
    if stage == NONE_YET:
        told = (
            gettext("Looked, no new growth yet")
            if _evergreen(facts.crop)
            else gettext("Looked, not awake yet")
        )
    elif stage == SHOOTS:
        told = gettext("New shoots")
    else:
        told = str(dict(REGROWTH).get(stage) or stage_words(facts.crop, stage))
    long = short_words(length, facts.units) if length is not None else None
    return line(told, gettext("%(length)s long", length=long) if long else None)


def subject(details: Details) -> str:
    """The track of a stage, as in a bloom entry; "leaf" for not awake yet, which the first leaf stage follows;
    "shoots"; "regrowth" for all of REGROWTH."""
    stage = str(details["stage"])
    if stage == NONE_YET:
        return _LEAF
    return "regrowth" if stage in dict(REGROWTH) else stage.partition("/")[0]


KIND = Kind("growth", _("Growth"), 1, GrowthForm, headline, subject)
