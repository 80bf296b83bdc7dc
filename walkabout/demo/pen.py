"""Entries of what was seen in the demo's yard, as its two phones would have sent them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from random import Random
from uuid import UUID
from zoneinfo import ZoneInfo

from walkabout.demo.days import Days
from walkabout.demo.seen import Seen
from walkabout.entries.facts import KindFacts, grafted
from walkabout.entries.kinds import kind
from walkabout.records.entries import WITHDRAWAL, NewEntry, fingerprint
from walkabout.records.people import Person
from walkabout.records.plants import Plant
from walkabout.records.yards import Yard

_MORNING, _EVENING = time(7, 5), time(17, 40)
_WALK = 95  # minutes


@dataclass(frozen=True, slots=True)
class Cast:
    """What the entries name: plants by name, limbs by plant and name, people by role, photos by drawing."""

    plants: Mapping[str, Plant]
    limbs: Mapping[tuple[str, str], str]
    members: Mapping[str, Person]
    photos: Mapping[str, str]


class Pen:
    """Makes the entries."""

    def __init__(self, cast: Cast, yard: Yard, days: Days) -> None:
        self._cast = cast
        self._yard = yard
        self._zone = ZoneInfo(yard.timezone)
        self._days = days
        self._luck = days.chance("pen")
        self._devices = {role: str(UUID(int=self._luck.getrandbits(128), version=4)) for role in cast.members}

    def write(self, seen: Seen, *, replaces: NewEntry | None = None, later_minutes: int = 0) -> NewEntry:
        """The entry of what was seen; `replaces` is an earlier one that it corrects."""
        by = seen.by or self._luck.choice(("owner", "owner", "keeper"))
        at = _MORNING if by == "owner" else _EVENING
        walk = datetime.combine(seen.on, at, self._zone) + timedelta(minutes=self._luck.randint(0, _WALK))
        return self._entry(seen, by, walk + timedelta(minutes=later_minutes), replaces)

    def slips(self, entries: Sequence[NewEntry]) -> list[NewEntry]:
        """Corrections, as they happen: a slip of the finger put right, an entry on the wrong plant taken back."""
        by_id = {plant.id: plant.name for plant in self._cast.plants.values()}
        weighed = [entry for entry in entries if "weight_kg" in entry.details and "limb" not in entry.details]
        pests = [entry for entry in entries if entry.kind == "pest" and "photos" not in entry.details]
        written = []
        for entry in weighed[7::60]:
            put_right = {**entry.details, "weight_kg": entry.details["weight_kg"] * 2}
            seen = Seen(by_id[entry.plant_id], "harvest", entry.seen_on, put_right, self._role(entry))
            written.append(self.write(seen, replaces=entry, later_minutes=_WALK))
        for entry in pests[11::90]:
            taken_back = Seen(by_id[entry.plant_id], WITHDRAWAL, entry.seen_on, {}, self._role(entry))
            written.append(self.write(taken_back, replaces=entry, later_minutes=_WALK))
        return written

    def _role(self, entry: NewEntry) -> str:
        return next(role for role, member in self._cast.members.items() if member.id == entry.author_id)

    def _entry(self, seen: Seen, by: str, moment: datetime, earlier: NewEntry | None) -> NewEntry:
        plant = self._cast.plants[seen.plant]
        noted = kind(seen.kind)
        details = noted.check(self._sent(seen), self._facts(plant))
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
            author_id=self._cast.members[by].id,
            device=self._devices[by],
            form=noted.form_version,
            fingerprint=fingerprint(content),
        )

    def _sent(self, seen: Seen) -> dict[str, object]:
        details = dict(seen.details)
        if seen.limb:
            details["limb"] = self._cast.limbs[seen.plant, seen.limb]
        if seen.picture:
            details["photos"] = [self._cast.photos[seen.picture]]
        return details

    def _facts(self, plant: Plant) -> KindFacts:
        return KindFacts(plant.crop, grafted(plant.raised), self._yard.units, self._days.today)


def _uuid7(moment: datetime, luck: Random) -> str:
    """A UUID of version 7 (RFC 9562, section 5.7): 48 bits of milliseconds since 1970, then chance."""
    milliseconds = round(moment.astimezone(UTC).timestamp() * 1000)
    number = milliseconds << 80 | 0x7 << 76 | luck.getrandbits(12) << 64 | 0b10 << 62 | luck.getrandbits(62)
    return str(UUID(int=number))
