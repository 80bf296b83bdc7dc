"""Which note a grower most probably wants to make this month: an order for choices, never a finding.

The table is judgement throughout (quick-entry.toml says so at its head).
"""

from collections import Counter
from dataclasses import dataclass
from functools import cache, lru_cache

from walkabout.reference.problems import problem, problems_of
from walkabout.reference.stages import stages_of
from walkabout.reference.tables import TableError, one_of, table, text, texts

_KINDS = ("bloom", "fruit_set", "stage", "harvest", "pest", "damage")
_OF_PROBLEMS = ("pest", "damage")


@dataclass(frozen=True, slots=True)
class Likely:
    """One likely note.

    Attributes:
        kind: bloom, fruit_set, stage or harvest (`choice` is a stage key of the crop), pest or damage (`choice`
            is a problem id).
        why: a few words that say why it is offered.
    """

    kind: str
    choice: str
    why: str


@lru_cache(maxsize=4096)
def likely_notes(crop: str, month: int, *, warm: bool, southern: bool) -> tuple[Likely, ...]:
    """Likely notes, the most likely first; none for a crop that the books do not know.

    Args:
        crop: key of the crop.
        month: civil month of the yard, 1 to 12.
        warm: a yard with little frost (the warm list) or one with real winters (the cold list).
        southern: south of the equator: the list of six months away holds.

    Raises:
        TableError: a choice of the list resolves to nothing.
    """
    lists = table("quick-entry")["list"].get(crop)
    if lists is None:
        return ()
    shift = table("quick-entry")["rule"]["hemisphere_shift_months"] if southern else 0
    yard = "warm" if warm else "cold"
    shifted = (month - 1 + shift) % 12 + 1
    where = f"quick-entry.toml list {crop} {yard} {shifted}"
    return tuple(_read(crop, choice, where) for choice in texts(lists[yard], str(shifted), where))


@lru_cache(maxsize=256)
def usual_problems(crop: str) -> tuple[str, ...]:
    """Ids of the problems that any month of the crop's lists names, the most often named first."""
    counted: Counter[str] = Counter()
    for warm in (True, False):
        for month in range(1, 13):
            notes = likely_notes(crop, month, warm=warm, southern=False)
            counted.update(note.choice for note in notes if note.kind in _OF_PROBLEMS)
    return tuple(name for name, _ in counted.most_common())


def flush_days() -> int:
    """For how many days a soft flush makes its problems likely."""
    return int(table("quick-entry")["flush"]["days"])


@lru_cache(maxsize=256)
def flush_problems(crop: str, code: str) -> tuple[str, ...]:
    """Ids of the crop's problems that come with a soft flush; none when the stage of that code is none.

    Raises:
        TableError: the table names a problem that there is not.
    """
    where = "quick-entry.toml flush"
    row = table("quick-entry")["flush"]
    named = texts(row, "problems", where)
    for name in named:
        if problem(name) is None:
            raise TableError(f"{where}: {name!r} is no problem of pests.toml")
    soft = {stage.code for stage in stages_of(crop) if stage.key in texts(row, "stages", where)}
    had = {each.id for each in problems_of(crop)}
    return tuple(name for name in named if name in had) if code in soft else ()


@cache
def _whys() -> dict[str, tuple[str, str]]:
    found: dict[str, tuple[str, str]] = {}
    for number, row in enumerate(table("quick-entry")["why"], 1):
        where = f"quick-entry.toml why {number}"
        kind, words = one_of(row, "kind", where, _KINDS), text(row, "text", where)
        for choice in texts(row, "choices", where):
            if choice in found:
                raise TableError(f"{where}: {choice!r} stands twice")
            found[choice] = (kind, words)
    return found


def _read(crop: str, choice: str, where: str) -> Likely:
    if choice not in _whys():
        raise TableError(f"{where}: {choice!r} has no [[why]]")
    kind, why = _whys()[choice]
    name = choice.removeprefix("problem:")
    if kind in _OF_PROBLEMS:
        if problem(name) is None:
            raise TableError(f"{where}: {name!r} is no problem of pests.toml")
    elif name not in {stage.key for stage in stages_of(crop)}:
        raise TableError(f"{where}: {name!r} is no stage of {crop} in look.toml")
    return Likely(kind, name, why)
