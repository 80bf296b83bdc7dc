"""Which entries stand once corrections and withdrawals are counted. Pure: links in, heads out.

Entries are never changed. A later one may name an earlier one of the same plant as what it replaces or
withdraws. The rule, for any order of arrival:

- The successors of an entry are the entries that name it and that are not themselves withdrawn.
- Without a successor an entry stands. Of rival successors the one that comes last (corrected time, then id)
  holds: a withdrawal takes the entry away, a replacement stands in its place, by the same rule.
- So withdrawing a correction gives back what stood before it, and withdrawing a withdrawal too.
- A correction whose target has not arrived stands by itself until it does.
"""

from collections.abc import Iterable
from typing import NamedTuple


class Link(NamedTuple):
    """What matters of an entry here. `corrected_at`: milliseconds of the moment it was made, clock corrected."""

    id: str
    corrected_at: int
    replaces: str | None
    withdraws: str | None


class Head(NamedTuple):
    """An entry that stands, the entry it goes back to, and by how many replacements."""

    entry_id: str
    root_id: str
    corrections: int


def standing_heads(links: Iterable[Link]) -> list[Head]:
    """The entries that stand.

    Args:
        links: entries of one plant; if one is given, all that are tied to it must be.

    Returns:
        One head for each tied group of which something stands, by root id.
    """
    known = {link.id: link for link in links}
    successors: dict[str, list[Link]] = {}
    for link in known.values():
        target = _target(link)
        if target in known:
            successors.setdefault(target, []).append(link)
    heads = (_head(root, successors) for root in _roots(known))
    return sorted((head for head in heads if head is not None), key=lambda head: head.root_id)


def _target(link: Link) -> str:
    return link.replaces or link.withdraws or ""


def _roots(known: dict[str, Link]) -> list[Link]:
    """One root a group: the entry that names nothing known; in a ring of entries the smallest id."""
    roots, seen = [], set()
    for link in known.values():
        walk: list[str] = []
        here = link
        while here.id not in seen:
            seen.add(here.id)
            walk.append(here.id)
            target = _target(here)
            if target not in known:
                roots.append(here)
                break
            here = known[target]
        else:
            if here.id in walk:
                ring = walk[walk.index(here.id) :]
                roots.append(known[min(ring)])
    return roots


def _head(root: Link, successors: dict[str, list[Link]]) -> Head | None:
    order = [root]
    for link in order:  # grows while it is walked: every entry after the one it names
        order.extend(later for later in successors.get(link.id, []) if later.id != root.id)
    undone: dict[str, bool] = {}
    head_of: dict[str, str | None] = {}
    for link in reversed(order):
        live = [
            later for later in successors.get(link.id, []) if later.id != root.id and not undone[later.id]
        ]
        last = max(live, key=lambda later: (later.corrected_at, later.id), default=None)
        undone[link.id] = last is not None and last.withdraws is not None
        head_of[link.id] = head_of[last.id] if last else (None if link.withdraws else link.id)
    head = head_of[root.id]
    corrections = sum(link.replaces is not None for link in order[1:])
    return Head(head, root.id, corrections) if head else None
