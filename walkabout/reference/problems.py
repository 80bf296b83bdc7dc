"""Pests, diseases and disorders: what they look like, and what to do first."""

from dataclasses import dataclass
from functools import cache, lru_cache

from walkabout.reference.crops import crops_named
from walkabout.reference.tables import BASES, Row, TableError, flag, one_of, table, text, texts, whole

_KINDS = ("insect", "disease", "disorder", "mite", "animal", "nutrition", "weather", "nematode", "mollusc")
_LEAVE = ("watch", "leave", "act", "report")
_OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class Problem:
    """One row of the problems table.

    Attributes:
        id: name in entries and tables, such as "citrus_leafminer".
        kind: insect, disease, disorder, mite, animal, nutrition, weather, nematode or mollusc.
        crops: crop keys, aliases, names of plants without a row, or "any".
        parts: where on the plant it shows, the usual part first.
        see: what the grower sees.
        first_step: what to do first, without spray.
        leave: watch, leave, act or report.
        recheck_days: days until the next look (judgement).
        reportable: whether the plant-health authority of some region wants to hear of it.
        source, basis: where the row comes from, and how far it was checked.
    """

    id: str
    name: str
    kind: str
    crops: tuple[str, ...]
    parts: tuple[str, ...]
    see: str
    season: str
    first_step: str
    leave: str
    recheck_days: int
    reportable: bool
    source: str
    basis: str

    @property
    def hits_any(self) -> bool:
        """Whether it is listed for every plant."""
        return "any" in self.crops


@cache
def problems() -> dict[str, Problem]:
    """All problems by id, in the order of the table. Raises TableError at a row that cannot be used."""
    found: dict[str, Problem] = {}
    for number, row in enumerate(table("pests")["problem"], 1):
        where = f"pests.toml problem {row.get('id', number)}"
        problem = _read(row, where)
        if problem.id in found:
            raise TableError(f"{where}: stands twice")
        found[problem.id] = problem
    return found


@lru_cache(maxsize=256)  # a grower's own words come here too
def problems_of(crop: str) -> tuple[Problem, ...]:
    """Problems listed for a crop, by its key or an alias, then those of any plant. Order of the table.

    A crop that the books do not know may still be named by problems ("quince"); else only those of any plant.
    """
    own = [problem for problem in problems().values() if _lists(problem, crop) and not problem.hits_any]
    return (*own, *(problem for problem in problems().values() if problem.hits_any))


def problem(name: str) -> Problem | None:
    """The problem with this id, or None."""
    return problems().get(name)


def problem_name(name: str) -> str:
    """Words for a stored problem id; an id that the table does not have, as it is."""
    found = problems().get(name)
    return found.name if found else name


def _lists(problem: Problem, crop: str) -> bool:
    return any(crop == name or crop in crops_named(name) for name in problem.crops)


def _read(row: Row, where: str) -> Problem:
    names = texts(row, "crops", where)
    outside = table("crops")[_OUTSIDE]["crops"]
    for name in names:
        if name != "any" and not crops_named(name) and name not in outside:
            raise TableError(
                f"{where}: {name!r} is neither a crop, an alias nor a plant outside of crops.toml"
            )
    return Problem(
        id=text(row, "id", where),
        name=text(row, "name", where),
        kind=one_of(row, "kind", where, _KINDS),
        crops=names,
        parts=texts(row, "parts", where),
        see=text(row, "see", where),
        season=text(row, "season", where),
        first_step=text(row, "first_step", where),
        leave=one_of(row, "leave", where, _LEAVE),
        recheck_days=whole(row, "recheck_days", where, 1, 60),
        reportable=flag(row, "reportable", where),
        source=text(row, "source", where),
        basis=one_of(row, "basis", where, BASES),
    )
