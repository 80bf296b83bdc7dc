"""The yard itself: where it lies, its units, its frosts, and the addresses it is served at."""

import re
import secrets
from dataclasses import dataclass
from uuid import uuid4

from walkabout.errors import Conflict, YardMissing
from walkabout.records import models
from walkabout.records.database import writing


@dataclass(frozen=True, slots=True)
class FrostDate:
    """A usual frost date of the yard, to the day or about."""

    month: int
    day: int
    about: bool = False

    def __str__(self) -> str:
        return f"{'about ' if self.about else ''}{self.month:02d}-{self.day:02d}"

    @classmethod
    def read(cls, text: str) -> "FrostDate":
        """The date that `str` wrote; it must have been checked before it was stored."""
        found = re.fullmatch(r"(about )?(\d\d)-(\d\d)", text)
        if not found:
            raise ValueError(f"{text!r} is not a frost date")
        return cls(int(found[2]), int(found[3]), bool(found[1]))


@dataclass(frozen=True, slots=True)
class Yard:
    """The place.

    Attributes:
        latitude: degrees, south negative.
        longitude: degrees, west negative.
        timezone: IANA name.
        units: "us" or "metric"; what pages show. Records are SI always.
        last_frost: usual last frost of spring; None when not known.
        first_frost: usual first frost of autumn; None when not known.
        frost_free: True where frost does not come.
    """

    id: str
    name: str
    latitude: float
    longitude: float
    timezone: str
    units: str
    last_frost: FrostDate | None
    first_frost: FrostDate | None
    frost_free: bool


def create_yard(
    *,
    name: str,
    latitude: float,
    longitude: float,
    timezone: str,
    units: str,
    origin: str,
    last_frost: FrostDate | None = None,
    first_frost: FrostDate | None = None,
    frost_free: bool = False,
) -> Yard:
    """Set up the one yard of this database.

    Raises:
        Conflict: there is one already.
    """
    with writing() as ledger:
        if models.Yard.select().exists():
            raise Conflict(
                "There is a yard in this data folder already. Nothing was changed. Use --data for another folder."
            )
        row = models.Yard.create(
            id=str(uuid4()),
            name=name,
            latitude=latitude,
            longitude=longitude,
            timezone=timezone,
            units=units,
            last_frost=str(last_frost) if last_frost else None,
            first_frost=str(first_frost) if first_frost else None,
            frost_free=frost_free,
        )
        for setting, value in (("database_id", str(uuid4())), ("secret_key", secrets.token_hex(32))):
            models.Setting.create(name=setting, value=value)
        models.Origin.create(address=origin, since=ledger.now)
        ledger.changed("yard", row.id)
    return _yard(row)


def the_yard() -> Yard:
    """The yard of this database.

    Raises:
        YardMissing: none has been set up.
    """
    row = models.Yard.select().first()
    if row is None:
        raise YardMissing("No yard is set up in this data folder. Set one up with: walkabout init")
    return _yard(row)


def change_yard(
    *,
    name: str,
    latitude: float,
    longitude: float,
    timezone: str,
    units: str,
    last_frost: FrostDate | None,
    first_frost: FrostDate | None,
    frost_free: bool,
) -> Yard:
    """Change what is recorded of the yard; every page may show it, so all are marked as changed."""
    with writing() as ledger:
        yard = the_yard()
        models.Yard.update(
            name=name,
            latitude=latitude,
            longitude=longitude,
            timezone=timezone,
            units=units,
            last_frost=str(last_frost) if last_frost else None,
            first_frost=str(first_frost) if first_frost else None,
            frost_free=frost_free,
        ).where(models.Yard.id == yard.id).execute()
        ledger.changed("yard", yard.id)
    return the_yard()


def origins() -> tuple[str, ...]:
    """The recorded addresses (scheme, host, port); the first is the one that tags print."""
    rows = models.Origin.select(models.Origin.address).order_by(models.Origin.position).tuples()
    return tuple(address for (address,) in rows)


def add_origin(address: str) -> None:
    """Record another address at which the yard is served; a known one changes nothing."""
    with writing() as ledger:
        if not models.Origin.select().where(models.Origin.address == address).exists():
            models.Origin.create(address=address, since=ledger.now)
            ledger.changed("origin", address)


def database_id() -> str:
    """The id of this database; a restored one has another, so that phones offer again what they sent."""
    return _setting("database_id")


def secret_key() -> str:
    """The key that signs cookies."""
    return _setting("secret_key")


def _setting(name: str) -> str:
    row = models.Setting.get_or_none(models.Setting.name == name)
    if row is None:
        raise YardMissing("No yard is set up in this data folder. Set one up with: walkabout init")
    return str(row.value)


def _yard(row: models.Yard) -> Yard:
    return Yard(
        id=str(row.id),
        name=str(row.name),
        latitude=float(row.latitude),
        longitude=float(row.longitude),
        timezone=str(row.timezone),
        units=str(row.units),
        last_frost=FrostDate.read(str(row.last_frost)) if row.last_frost else None,
        first_frost=FrostDate.read(str(row.first_frost)) if row.first_frost else None,
        frost_free=bool(row.frost_free),
    )
