"""Work that is done on a plant: words, what more can be said of it, usual months, cautions.

The months are judgement throughout (works.toml says so at its head): an order for answers, never advice.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache, lru_cache
from typing import Any

from walkabout.reference.crops import crops
from walkabout.reference.tables import BASES, Row, TableError, one_of, table, text, texts, whole


@dataclass(frozen=True, slots=True)
class Work:
    """One kind of work.

    Attributes:
        key: name in records and tables, such as "pruned"; a past participle.
        words: words on its button, such as "Pruned".
        group: key of its group.
        asks: fields that an entry of it can fill.
        cautions: keys of the cautions that stand beside it.
        months: by set of crops, the northern months in which it is likely.
        basis: where the work and its fields come from.
    """

    key: str
    words: str
    group: str
    asks: tuple[str, ...]
    cautions: tuple[str, ...]
    months: Mapping[str, frozenset[int]]
    basis: str


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer of a field that a work asks: its key, the words on its button, the words of a headline."""

    key: str
    words: str
    told: str


@cache
def works() -> dict[str, Work]:
    """All works by key, in the order in which several of one entry are told.

    Raises:
        TableError: a row that cannot be used.
    """
    found: dict[str, Work] = {}
    for number, row in enumerate(table("works")["work"], 1):
        work = _read(row, f"works.toml work {row.get('key', number)}")
        if work.key in found:
            raise TableError(f"works.toml work {work.key}: stands twice")
        found[work.key] = work
    return found


@cache
def groups() -> dict[str, str]:
    """Words of each group of works, in the order in which they are offered."""
    return {key: text(table("works")["group"], key, "works.toml group") for key in table("works")["group"]}


@cache
def cautions() -> dict[str, str]:
    """Words of each caution. Raises TableError at one that does not say how far it was checked."""
    found = {}
    for key, row in table("works")["caution"].items():
        where = f"works.toml caution {key}"
        found[key] = text(row, "words", where)
        if one_of(row, "basis", where, BASES) in ("read", "secondary", "mixed"):
            text(row, "source", where)
    return found


@cache
def answers(field: str) -> tuple[Answer, ...]:
    """The answers of a field that some work asks; none for a field that is filled otherwise."""
    found: dict[str, Answer] = {}
    for number, row in enumerate(table("works")["answer"], 1):
        where = f"works.toml answer {number}"
        if text(row, "field", where) != field:
            continue
        answer = Answer(text(row, "key", where), text(row, "words", where), text(row, "told", where))
        if answer.key in found:
            raise TableError(f"{where}: {field} {answer.key} stands twice")
        found[answer.key] = answer
    return tuple(found.values())


@lru_cache(maxsize=4096)
def likely_works(crop: str, month: int, shown: int, *, southern: bool) -> tuple[str, ...]:
    """Keys of the works that most probably were done this month, the most likely first.

    Work that has a short season comes before work of many months. Those that are always near are among them; what
    places the month leaves empty are filled with what is usual.

    Args:
        crop: key of the crop, or the grower's own word.
        month: civil month of the yard, 1 to 12.
        shown: how many.
        southern: south of the equator: the months of half a year away hold.
    """
    rows = table("works")
    where = "works.toml"
    northern = _northern(month, southern=southern)
    season = {key: _months_of(work, crop) for key, work in works().items()}
    now = sorted((key for key in season if northern in season[key]), key=lambda key: len(season[key]))
    near = _known(texts(rows, "near", where), f"{where} near")
    first = now[:shown]
    for key in near:
        if key not in first:
            first = [*_without_last(first, near, shown - 1), key]
    for key in _known(texts(rows, "usual", where), f"{where} usual"):
        if key not in first and len(first) < shown:
            first.append(key)
    return tuple(first)


@lru_cache(maxsize=4096)
def commonest_works(crop: str, month: int, *, southern: bool) -> tuple[str, ...]:
    """Keys of the commonest works that are in season this month, the commonest first; takes what `likely_works` takes."""
    northern = _northern(month, southern=southern)
    keys = _known(texts(table("works"), "commonest", "works.toml"), "works.toml commonest")
    return tuple(key for key in keys if northern in _months_of(works()[key], crop))


@lru_cache(maxsize=4096)
def suits(key: str, crop: str) -> bool:
    """Whether a work is done on this crop: in some month of the table, or one that has no months at all."""
    work = works().get(key)
    return work is not None and (not work.months or bool(_months_of(work, crop)))


def _northern(month: int, *, southern: bool) -> int:
    shift = whole(table("works"), "hemisphere_shift_months", "works.toml", 0, 11) if southern else 0
    return (month - 1 + shift) % 12 + 1


def _without_last(keys: list[str], near: tuple[str, ...], most: int) -> list[str]:
    """At most so many of the keys; the last ones make room, but not those that are always near."""
    kept = list(keys)
    while len(kept) > most:
        kept.remove(next(key for key in reversed(kept) if key not in near))
    return kept


def _months_of(work: Work, crop: str) -> frozenset[int]:
    sets = table("works")["crops"]
    return frozenset().union(
        *(months for name, months in work.months.items() if name == "all" or crop in sets[name])
    )


def _known(keys: tuple[str, ...], where: str) -> tuple[str, ...]:
    for key in keys:
        if key not in works():
            raise TableError(f"{where}: {key!r} is no work of this table")
    return keys


def _read(row: Row, where: str) -> Work:
    for name in row.keys() - {field.name for field in fields(Work)}:
        raise TableError(f"{where}: {name} is no part of a work")
    return Work(
        key=text(row, "key", where),
        words=text(row, "words", where),
        group=one_of(row, "group", where, tuple(groups())),
        asks=texts(row, "asks", where) if "asks" in row else (),
        cautions=_cautions(row, where),
        months=_months(row.get("months", {}), where),
        basis=one_of(row, "basis", where, BASES),
    )


def _cautions(row: Row, where: str) -> tuple[str, ...]:
    keys = texts(row, "cautions", where) if "cautions" in row else ()
    for key in keys:
        if key not in cautions():
            raise TableError(f"{where}: there is no caution {key!r}")
    return keys


def _months(rows: Any, where: str) -> Mapping[str, frozenset[int]]:
    if not isinstance(rows, Mapping):
        raise TableError(f"{where}: months must name sets of crops, found {rows!r}")
    sets = table("works")["crops"]
    for name, months in rows.items():
        if name not in sets:
            raise TableError(f"{where}: {name!r} is no set of crops of this table")
        for crop in sets[name]:
            if crop not in crops():
                raise TableError(f"works.toml crops {name}: {crop!r} is no crop of crops.toml")
        good = isinstance(months, list) and bool(months) and set(months) <= set(range(1, 13))
        if not good or len(set(months)) < len(months):
            raise TableError(f"{where}: months of {name} must be different numbers 1 to 12, found {months!r}")
    return {name: frozenset(months) for name, months in rows.items()}
