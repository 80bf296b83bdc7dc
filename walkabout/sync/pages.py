"""Which pages a phone keeps, and the version of each; two pages of one version say the same."""

import hashlib
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from walkabout.assets import program_version
from walkabout.care.many import Group, groups
from walkabout.care.walk import WALKED, in_walking_order
from walkabout.records import changes, tags, walk
from walkabout.records.backup_log import warning
from walkabout.records.database import data_folder
from walkabout.records.plants import Plant

YARD_PATH = "/"
MANY_PATH = "/many"
MANUAL_PATH = "/help"


@dataclass(frozen=True, slots=True)
class Page:
    """A page to keep.

    Attributes:
        path: its one address; those of tags lead to it.
        tags: codes of the tags that hang on the plant.
        retired: codes that once did. The server says so first; only without it they open the page.
        version: changes whenever what the page says may have; also its ETag.
        walked: whether it is the page of a plant that one walks past. The pages are listed in walking order, so
            that a phone without the network finds the next one.
    """

    path: str
    tags: tuple[str, ...]
    retired: tuple[str, ...]
    version: str
    walked: bool = False


@dataclass(frozen=True, slots=True)
class Listing:
    """What one person's phone is to keep. `token` stands for the whole; an equal one means nothing differs."""

    token: str
    pages: tuple[Page, ...]


def page_version(change: int, today: date) -> str:
    """The version of a page.

    Pages speak of "today" and "3rd leaf", so the day counts; the program counts because a kept page is shown
    with that program's scripts and styles.

    Args:
        change: number of the newest change that the page shows.
        today: the civil date in the yard.
    """
    return f"{program_version()}-{today:%Y%m%d}-{change}"


def plant_page_version(plant: Plant, today: date) -> str:
    """The version of a plant's page on that day."""
    return page_version(max(plant.changed, changes.yard_change()), today)


def yard_page_version(today: date) -> str:
    """The version of the list of plants on that day."""
    return _yard_version(changes.page_changes(), today)


def many_page_version(groups: Sequence[Group], today: date, yard_change: int) -> str:
    """The version of the list of groups on that day; `yard_change` as records.changes has it."""
    told = " ".join(group.digest for group in groups)
    return f"{page_version(yard_change, today)}-{hashlib.sha256(told.encode()).hexdigest()[:16]}"


def group_page_version(group: Group, today: date, yard_change: int) -> str:
    """The version of the page of a group on that day: it tells of the yard, of its plants and of no entry."""
    return f"{page_version(yard_change, today)}-{group.digest}"


def manual_page_version() -> str:
    """The version of the manual, which only a new program changes."""
    return f"{program_version()}-manual"


def listing_token(person_id: str, today: date) -> str:
    """The token of the listing that this person would get now; cheap."""
    whole = f"{person_id} {yard_page_version(today)}"
    return hashlib.sha256(whole.encode()).hexdigest()[:16]


def listing(person_id: str, today: date) -> Listing:
    """The pages that a person's phone is to keep: every plant's, every group's, the lists of both, the manual."""
    token = listing_token(person_id, today)  # before the rest: what changes meanwhile is told the next time
    by_plant = changes.page_changes()
    codes: dict[tuple[str | None, str], list[str]] = defaultdict(list)
    for tag in tags.tags():
        codes[tag.plant_id, tag.state].append(tag.code)
    pages = [
        Page(YARD_PATH, (), (), _yard_version(by_plant, today)),
        Page(MANUAL_PATH, (), (), manual_page_version()),
    ]
    order = in_walking_order(walk.stands())
    made, yard = groups(order), changes.yard_change()
    pages.append(Page(MANY_PATH, (), (), many_page_version(made, today, yard)))
    pages += [Page(group_path(group.key), (), (), group_page_version(group, today, yard)) for group in made]
    walked = {stand.plant_id for stand in order if stand.state == WALKED}
    for plant_id in dict.fromkeys([*(stand.plant_id for stand in order), *by_plant]):
        if plant_id not in by_plant:  # it was added a moment ago
            continue
        hanging, retired = (tuple(codes[plant_id, state]) for state in ("hanging", "retired"))
        version = page_version(by_plant[plant_id], today)
        pages.append(Page(plant_path(plant_id), hanging, retired, version, plant_id in walked))
    return Listing(token, tuple(pages))


def group_path(key: str) -> str:
    """The one address of a group's page."""
    return f"{MANY_PATH}/{key}"


def plant_path(plant_id: str) -> str:
    """The one address of a plant's page."""
    return f"/plants/{plant_id}"


def _yard_version(by_plant: dict[str, int], today: date) -> str:
    """The list of plants is also where an owner is warned of the backups."""
    warned = warning(data_folder(), today)
    sign = f"-{hashlib.sha256(warned.sign.encode()).hexdigest()[:8]}" if warned else ""
    return page_version(_newest(by_plant), today) + sign


def _newest(by_plant: dict[str, int]) -> int:
    return max(by_plant.values(), default=changes.yard_change())
