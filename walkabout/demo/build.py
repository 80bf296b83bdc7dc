"""The demo's yard written into an open, empty database."""

import secrets
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from uuid import UUID
from zoneinfo import ZoneInfo

from walkabout.demo.days import Days
from walkabout.demo.story import Seen, story
from walkabout.demo.tables import DemoPlant, demo_plants, yard_table
from walkabout.entries.facts import KindFacts, grafted
from walkabout.entries.kinds import kind
from walkabout.records import people, yards
from walkabout.records.database import writing
from walkabout.records.entries import WITHDRAWAL, NewEntry, fingerprint, keep_entries
from walkabout.records.people import Person
from walkabout.records.plants import Plant, PlantFacts, add_plants
from walkabout.records.tags import issue_tag
from walkabout.records.tasks import add_task

_MORNING, _EVENING = time(7, 5), time(17, 40)
_WALK = 95  # minutes


def build(
    today: date,
    *,
    origin: str,
    make_code: Callable[[], str],
    seed: int = 1,
    password: str | None = None,
) -> Person:
    """Write the whole yard: plants, people, tags, four seasons of entries, work that is due.

    Args:
        today: the civil date in the yard; everything is counted back from it.
        origin: address that the tags print.
        make_code: makes a tag code.
        seed: of all chance in the story; the same one tells the same story.
        password: of both people; else one that nobody knows, as the demo is entered by a link.

    Returns:
        The owner.

    Raises:
        Conflict: the database holds a yard already.
        DataFolderError: nothing was kept.
    """
    table = yard_table()
    secret = password or secrets.token_urlsafe(24)
    with writing():
        yard = yards.create_yard(
            name=table["name"],
            latitude=table["latitude"],
            longitude=table["longitude"],
            timezone=table["timezone"],
            units=table["units"],
            origin=origin,
            last_frost=yards.FrostDate.read(table["last_frost"]),
            first_frost=yards.FrostDate.read(table["first_frost"]),
        )
        owner = people.add_person(table["owner"], secret, "owner")
        keeper = people.add_person(table["keeper"], secret)
        days = Days(today, seed)
        plants = {plant.name: plant for plant in add_plants(_facts(plant, days) for plant in demo_plants())}
        for plant in plants.values():
            issue_tag(plant.id, make_code)
        pen = _Pen(plants, {"owner": owner, "keeper": keeper}, yard, days)
        entries = [pen.write(seen) for seen in story(days)]
        entries += pen.slips(entries)
        entries += [pen.write(seen) for seen in _tasks(plants, days, owner)]
        keep_entries(entries)
    return owner


def _facts(plant: DemoPlant, days: Days) -> PlantFacts:
    planted = days.planted(plant)
    return PlantFacts(
        name=plant.name,
        crop=plant.crop,
        cultivar=plant.cultivar,
        rootstock=plant.rootstock,
        raised=plant.raised,
        planted=planted.isoformat()[:7] if plant.month else f"{planted.year}",
        planted_about=plant.about,
        spot=plant.spot,
        x_m=plant.x,
        y_m=plant.y,
        container=plant.litres is not None,
        container_litres=plant.litres,
        state=plant.state,
    )


def _tasks(plants: Mapping[str, Plant], days: Days, owner: Person) -> list[Seen]:
    """Set the work that fits this time of year; gives the entries of what was done of last month's."""
    done = []
    last_month = (days.today.replace(day=1) - timedelta(days=1)).month
    for row in yard_table()["task"]:
        plant = plants[row["plant"]]
        if days.today.month in row["months"]:
            opens, closes = (days.today + timedelta(days=row[end]) for end in ("opens", "closes"))
            add_task(plant.id, row["title"], opens, closes, owner.id)
        elif last_month in row["months"]:
            opened = days.today - timedelta(days=40)
            task = add_task(plant.id, row["title"], opened, opened + timedelta(days=20), owner.id)
            done.append(Seen(plant.name, "done", days.walked(opened + timedelta(days=9)), {"task": task.id}))
    return done


class _Pen:
    """Makes entries of what was seen, as the two phones of the yard would have sent them."""

    def __init__(
        self, plants: Mapping[str, Plant], members: Mapping[str, Person], yard: yards.Yard, days: Days
    ) -> None:
        self._plants = plants
        self._members = members
        self._yard = yard
        self._zone = ZoneInfo(yard.timezone)
        self._days = days
        self._luck = days.chance("pen")
        self._devices = {role: str(UUID(int=self._luck.getrandbits(128), version=4)) for role in members}

    def write(self, seen: Seen, *, replaces: NewEntry | None = None, later_minutes: int = 0) -> NewEntry:
        """The entry of what was seen; `replaces` is an earlier one that it corrects."""
        by = seen.by or self._luck.choice(("owner", "owner", "keeper"))
        at = _MORNING if by == "owner" else _EVENING
        walk = datetime.combine(seen.on, at, self._zone) + timedelta(minutes=self._luck.randint(0, _WALK))
        return self._entry(seen, by, walk + timedelta(minutes=later_minutes), replaces)

    def slips(self, entries: Sequence[NewEntry]) -> list[NewEntry]:
        """Corrections, as they happen: a slip of the finger put right, an entry on the wrong plant taken back."""
        by_id = {plant.id: plant.name for plant in self._plants.values()}
        harvests = [entry for entry in entries if "weight_kg" in entry.details]
        pests = [entry for entry in entries if entry.kind == "pest"]
        written = []
        for entry in harvests[7::60]:
            put_right = {"weight_kg": entry.details["weight_kg"] * 1.5}
            seen = Seen(by_id[entry.plant_id], "harvest", entry.seen_on, put_right, self._role(entry))
            written.append(self.write(seen, replaces=entry, later_minutes=_WALK))
        for entry in pests[11::90]:
            taken_back = Seen(by_id[entry.plant_id], WITHDRAWAL, entry.seen_on, {}, self._role(entry))
            written.append(self.write(taken_back, replaces=entry, later_minutes=_WALK))
        return written

    def _role(self, entry: NewEntry) -> str:
        return next(role for role, member in self._members.items() if member.id == entry.author_id)

    def _entry(self, seen: Seen, by: str, moment: datetime, earlier: NewEntry | None) -> NewEntry:
        plant = self._plants[seen.plant]
        facts = KindFacts(plant.crop, grafted(plant.raised), self._yard.units, self._days.today)
        noted = kind(seen.kind)
        details = noted.check(seen.details, facts)
        withdrawing = seen.kind == WITHDRAWAL
        content = {"plant": plant.name, "kind": seen.kind, "seen_on": seen.on.isoformat(), "details": details}
        return NewEntry(
            id=_uuid7(moment, self._luck),
            plant_id=plant.id,
            kind=seen.kind,
            subject=noted.subject(details),
            seen_on=seen.on,
            made_at=moment.isoformat(timespec="milliseconds"),
            clock_difference=0.0,
            details=details,
            replaces=earlier.id if earlier and not withdrawing else None,
            withdraws=earlier.id if earlier and withdrawing else None,
            author_id=self._members[by].id,
            device=self._devices[by],
            form=noted.form_version,
            fingerprint=fingerprint(content),
        )


def _uuid7(moment: datetime, luck: Random) -> str:
    """A UUID of version 7 (RFC 9562, section 5.7): 48 bits of milliseconds since 1970, then chance."""
    milliseconds = round(moment.astimezone(UTC).timestamp() * 1000)
    number = milliseconds << 80 | 0x7 << 76 | luck.getrandbits(12) << 64 | 0b10 << 62 | luck.getrandbits(62)
    return str(UUID(int=number))
