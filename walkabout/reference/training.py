"""Forms that plants are trained to: the names that pages show, and those that growers write."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from walkabout.reference.tables import BASES, TableError, one_of, table, text, texts


@cache
def trainings() -> Mapping[str, str]:
    """Key and name of each form, in the order of the table. Raises TableError at a row that cannot be used."""
    return MappingProxyType({key: text(row, "name", f"training.toml {key}") for key, row in _rows().items()})


def find_training(words: str) -> str | None:
    """The key of the form that somebody wrote, by key, name or another name; None when the table has none such."""
    return _by_name().get(_plain(words))


def training_name(training: str) -> str:
    """The name of a form: that of the table, else the grower's own word."""
    return trainings().get(training, training)


@cache
def _by_name() -> Mapping[str, str]:
    found: dict[str, str] = {}
    for key, row in _rows().items():
        for name in (key, row["name"], *texts(row, "also", f"training.toml {key}")):
            if found.setdefault(_plain(name), key) != key:
                raise TableError(f"training.toml {key}: {name} stands for {found[_plain(name)]} too")
    return found


def _rows() -> dict[str, dict[str, str]]:
    whole = table("training")
    one_of(whole, "basis", "training.toml", BASES)
    rows: dict[str, dict[str, str]] = whole["training"]
    return rows


def _plain(words: str) -> str:
    return " ".join(words.casefold().replace("_", " ").replace("-", " ").split())
