"""The crops that the books know, and how to find one from what a grower writes."""

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from walkabout.reference.tables import TableError, table, text, texts


@dataclass(frozen=True, slots=True)
class Crop:
    """One kind of fruit.

    Attributes:
        key: name in every table, such as "sweet_orange".
        name: full name, such as "Lime (Persian/Bearss, Key/Mexican, makrut)".
        short: name for a line of a page, such as "Lime".
        form: tree, shrub, vine, cane, herb or a mixture in words.
        evergreen: whether it keeps leaves through its rest, at least in part (table key `leaf`).
    """

    key: str
    name: str
    short: str
    botanical: str
    form: str
    evergreen: bool


@dataclass(frozen=True, slots=True)
class CropMatch:
    """A crop found from a word, and the other crops that the same word could mean."""

    crop: Crop
    others: tuple[Crop, ...] = ()


@dataclass(frozen=True, slots=True)
class Family:
    """Crops that a grower works on together; its name says them all, such as "All citrus"."""

    key: str
    name: str
    crops: tuple[str, ...]


@cache
def crops() -> dict[str, Crop]:
    """All crops by key, in the order of the table."""
    short = table("names")["short"]
    found = {}
    for key, row in table("crops")["crop"].items():
        where = f"crops.toml crop {key}"
        name = text(row, "name", where)
        found[key] = Crop(
            key=key,
            name=name,
            short=short.get(key, name),
            botanical=text(row, "botanical", where),
            form=text(row, "form", where),
            evergreen=text(row, "leaf", where).startswith("evergreen"),
        )
    for key in short.keys() - found.keys():
        raise TableError(f"names.toml short: {key!r} is no crop of crops.toml")
    return found


def aliases() -> Iterator[tuple[str, tuple[str, ...]]]:
    """Every other name with the keys of the crops it stands for, the usual one first.

    Raises:
        TableError: a name points to no crop.
    """
    known = crops()
    for file, rows in (
        ("crops.toml alias", table("crops")["alias"]),
        ("names.toml also", table("names")["also"]),
    ):
        for name in rows:
            if name in ("source", "basis"):
                continue
            keys = texts(rows, name, file)
            for key in keys:
                if key not in known:
                    raise TableError(f"{file} {name}: {key!r} is no crop of crops.toml")
            yield name, keys


@cache
def families() -> tuple[Family, ...]:
    """All families, in the order of the table.

    Raises:
        TableError: one has no alias that says which crops it has.
    """
    rows = table("names")["family"]
    found = tuple(
        Family(key, text(rows, key, "names.toml family"), _alias_table().get(key, ())) for key in rows
    )
    for family in found:
        if len(family.crops) < 2:
            raise TableError(f"names.toml family {family.key}: no alias of crops.toml with several crops")
    return found


def crops_named(name: str) -> tuple[str, ...]:
    """Keys of the crops that a table's crop name stands for: itself, those of an alias, or none."""
    return (name,) if name in crops() else _alias_table().get(name, ())


def find_crop(words: str) -> CropMatch | None:
    """The crop that a grower's words name, or None when the books do not know it.

    Case, accents, spaces, hyphens, underscores and a plural s make no difference. A word with several
    readings ("grape") gives the usual one and says which others it could be.
    """
    spelled = _spelled(words)
    names = _spellings()
    keys = names.get(spelled) or names.get(_singular(spelled)) or ()
    if not keys:
        return None
    known = crops()
    return CropMatch(known[keys[0]], tuple(known[key] for key in keys[1:]))


def crop_name(crop: str) -> str:
    """Name for a line of a page: the short name of a known crop, else the grower's own word unchanged."""
    known = crops().get(crop)
    return known.short if known else crop


@cache
def _alias_table() -> dict[str, tuple[str, ...]]:
    return dict(aliases())


@cache
def _spellings() -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for name, keys in aliases():
        found[_spelled(name)] = keys
    for key, crop in crops().items():
        for name in (key, crop.name, crop.short):
            found[_spelled(name)] = (key,)
    return found


def _spelled(words: str) -> str:
    decomposed = unicodedata.normalize("NFKD", words).casefold()
    return "".join(letter for letter in decomposed if letter.isalnum())


def _singular(spelled: str) -> str:
    """The likely singular of an English plural: cherries, peaches, figs."""
    if spelled.endswith("ies"):
        return spelled[:-3] + "y"
    if spelled.endswith(("ches", "oes")):
        return spelled[:-2]
    return spelled.removesuffix("s")
