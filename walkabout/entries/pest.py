"""Pest, disease or disorder: what was seen, where and how much; or that one looked and found none."""

from functools import lru_cache
from typing import Any, NamedTuple

from wtforms.validators import ValidationError

from walkabout.entries.answers import NOT_NOTED, PARTS, SHARES, joined, words_of
from walkabout.entries.damage import CAUSE_OF_PROBLEM
from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import TapField, WordsField
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.texts import gettext
from walkabout.entries.texts import lazy_gettext as _
from walkabout.reference.likely import likely_notes, usual_problems
from walkabout.reference.problems import problem, problem_name, problems_of

OTHER = "other"
NONE_SEEN = "none"
ANY = "any"
_SEEN = "yes"
_ALL_IN_SIGHT = 16  # a crop with no more problems than these has none folded away
_NAMED = "named:"


class PestForm(EntryForm):
    """What is stored: `problem` (absent when one looked for any and found none), `words`, `part`, `share`, and `seen`
    only as "none". The words name another problem, and remark on a named one."""

    problem = TapField(_("Problem"))
    words = WordsField(_("In your own words"), longest=200)
    seen = TapField(_("Seen"), choices=((_SEEN, _("Seen")), (NONE_SEEN, _("Looked, none seen"))))
    part = TapField(_("Part"), choices=PARTS, blank=NOT_NOTED)
    share = TapField(_("Share hit"), choices=SHARES, blank=NOT_NOTED)

    def offer(self) -> None:
        front, folded = _offered(_Order.of(self.facts))
        more = ((OTHER, _("Another problem")), (ANY, _("Looked, none at all")))
        self.problem.offer([*front, *more, *folded], front=len(front) + len(more))
        self.problem.allows = lambda name: problem(name) is not None

    def preselected(self) -> dict[str, Any]:
        return {"seen": _SEEN}

    def written(self, details: Details) -> dict[str, Any]:
        return {"seen": _SEEN, **({"problem": ANY} if details.get("seen") == NONE_SEEN else {}), **details}

    def validate_problem(self, field: TapField) -> None:
        """Something must be said: a problem, words for it, or that none was seen."""
        if not (field.data or self.words.data or self.seen.data == NONE_SEEN):
            raise ValidationError(_("Choose the problem, or that none was seen."))

    def stored(self, given: dict[str, Any]) -> dict[str, Any]:
        if given.get("problem") == ANY:
            del given["problem"]
            given["seen"] = NONE_SEEN
        if given.get("seen") == NONE_SEEN:
            return {name: value for name, value in given.items() if name not in ("part", "share")}
        given.pop("seen", None)
        given.setdefault("problem", OTHER)
        return given


class _Order(NamedTuple):
    """What the order of the problems depends on."""

    crop: str
    month: int
    warm: bool
    southern: bool
    open_problems: tuple[str, ...]

    @classmethod
    def of(cls, facts: KindFacts) -> "_Order":
        return cls(facts.crop, facts.today.month, facts.warm, facts.southern, facts.open_problems)


def ranked_problems(facts: KindFacts) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Ids of this crop's problems: the likely ones first, then the others.

    Likely: open on this plant; listed for this month; listed for any month of this crop. What is noted as
    damage (frost, hail, drought) is left out.
    """
    return _ranked(_Order.of(facts))


@lru_cache(maxsize=512)
def _ranked(order: _Order) -> tuple[tuple[str, ...], tuple[str, ...]]:
    listed = [problem.id for problem in problems_of(order.crop) if problem.id not in CAUSE_OF_PROBLEM]
    this_month = likely_notes(order.crop, order.month, warm=order.warm, southern=order.southern)
    wanted = [
        *order.open_problems,
        *(note.choice for note in this_month),
        *usual_problems(order.crop),
    ]
    likely = [name for name in dict.fromkeys(wanted) if name in listed]
    return tuple(likely), tuple(name for name in listed if name not in likely)


@lru_cache(maxsize=512)
def _offered(order: _Order) -> tuple[tuple[tuple[str, str], ...], tuple[tuple[str, str], ...]]:
    """What stands in sight and what is folded away, each as (id, name)."""
    likely, others = _ranked(order)
    if len(likely) + len(others) <= _ALL_IN_SIGHT:
        likely, others = (*likely, *others), ()
    return tuple((name, problem_name(name)) for name in likely), tuple(
        (name, problem_name(name)) for name in others
    )


def headline(details: Details, _facts: KindFacts) -> str:
    """Such as "Citrus leafminer, young leaves, 10 to 25 %"."""
    name, words = details.get("problem"), details.get("words")
    if details.get("seen") == NONE_SEEN:
        if name is None:
            return joined(gettext("Looked for pests, none seen"), words)
        if name == OTHER:
            return gettext("Looked for %(problem)s, none seen", problem=words or gettext("another problem"))
        return joined(gettext("Looked for %(problem)s, none seen", problem=problem_name(name)), words)
    where = words_of(PARTS, details.get("part")), words_of(SHARES, details.get("share"))
    if name == OTHER:
        return joined(words or gettext("A problem without a name"), *where)
    return joined(problem_name(details["problem"]), *where, words)


def subject(details: Details) -> str:
    """The problem's id, "named:" and its words for another one, or "any"."""
    name = str(details.get("problem", ANY))
    return _NAMED + str(details["words"]).casefold() if name == OTHER and "words" in details else name


KIND = Kind("pest", _("Pest or disease"), 1, PestForm, headline, subject)
