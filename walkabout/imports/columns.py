"""Which column of a list is which field: by its name, by other names for it, or as the grower says."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from walkabout.errors import BadInput

PLANT_FIELDS: Mapping[str, tuple[str, ...]] = {
    "name": ("plant", "plant name", "tree", "tree name", "label"),
    "crop": ("fruit", "species", "kind of fruit", "type"),
    "cultivar": ("variety", "cv", "scion"),
    "rootstock": ("stock", "root stock", "understock"),
    "raised": ("how raised", "propagation", "raised from", "propagated"),
    "planted": (
        "planted on",
        "date planted",
        "planting date",
        "plant date",
        "year planted",
        "planted in",
        "planting year",
    ),
    "spot": ("place", "bed", "where", "location", "position"),
    "row": ("row number", "row no"),
    "col": ("column", "col number", "tree number", "tree in row", "position in row"),
    "x_m": ("x metres", "x meters", "east m"),
    "y_m": ("y metres", "y meters", "north m"),
    "x_ft": ("x feet", "east ft"),
    "y_ft": ("y feet", "north ft"),
    "container": ("pot", "in pot", "in container", "potted"),
    "container_litres": ("container l", "container liters", "pot l", "pot litres", "pot liters"),
    "container_gallons": ("container gal", "pot gal", "pot gallons"),
    "training": ("trained as", "training form", "trained"),
    "wanted_height_m": ("wanted height metres", "wanted height meters", "kept at m"),
    "wanted_height_ft": ("wanted height feet", "kept at ft"),
    "source": ("came from", "nursery", "bought from", "supplier"),
    "state": ("status", "condition"),
    "ended": ("ended on", "died", "died on", "date died", "removed on", "date removed"),
    "ended_why": ("why ended", "cause of death", "why it died"),
}
ENTRY_FIELDS: Mapping[str, tuple[str, ...]] = {
    "plant": ("name", "plant name", "tree", "tree name", "tag", "code", "tag code"),
    "date": ("seen on", "day", "on", "harvest date", "date seen", "picked on", "date picked"),
    "kind": ("what", "entry", "kind of entry", "type"),
    "weight_kg": ("kg", "kilos", "kilograms", "yield kg", "harvest kg"),
    "weight_lb": (
        "lb",
        "lbs",
        "pounds",
        "weight lbs",
        "weight pounds",
        "yield lb",
        "yield lbs",
        "harvest lb",
        "harvest lbs",
    ),
    "count": ("number", "number of fruit", "number of fruits", "fruit count", "pieces"),
    "stage": ("growth stage", "bloom stage"),
    "problem": ("pest", "disease", "pest or disease"),
    "other_name": (),
    "seen": (),
    "part": ("part of plant",),
    "share": ("share hit", "share open", "share of canopy"),
    "cause": ("cause of damage",),
    "happened_on": ("happened", "date of damage"),
    "lowest_living": ("lowest living point",),
    "dead_back_to_cm": ("dead back to centimetres",),
    "dead_back_to_in": ("dead back to inches",),
    "taste": (),
    "ripe": ("ripeness",),
    "lost": ("lost to", "crop lost to"),
    "height_cm": (),
    "height_ft": ("height feet",),
    "spread_cm": (),
    "spread_ft": ("spread feet",),
    "girth_cm": ("trunk girth cm",),
    "girth_in": ("girth inches", "trunk girth inches"),
    "girth_at_cm": (),
    "girth_at_in": ("girth at inches",),
    "shoot_cm": ("shoot length cm",),
    "shoot_in": ("shoot length inches",),
    "work": ("works", "work done"),
    "pruned_for": (),
    "left_count": ("fruits left",),
    "spacing_cm": (),
    "spacing_in": ("spacing inches",),
    "analysis": ("feed", "fertilizer", "fertiliser", "npk"),
    "feed_kg": (),
    "feed_g": (),
    "feed_lb": ("feed lbs",),
    "feed_oz": (),
    "water_l": ("litres", "liters", "water litres", "water liters"),
    "water_gal": ("gallons", "water gallons"),
    "water_minutes": ("minutes",),
    "product": ("spray", "spray product"),
    "rate": ("spray rate",),
    "rate_unit": ("unit of the rate",),
    "days_before_harvest": ("phi", "preharvest interval", "pre-harvest interval"),
    "hours_before_reentry": ("rei", "re-entry interval", "restricted entry interval"),
    "spray_l": ("spray litres", "spray liters"),
    "spray_gal": ("spray gallons",),
    "protected_with": (),
    "container_l": (),
    "container_gal": (),
    "grafted_cultivar": (),
    "words": ("note", "notes", "comment", "comments", "remark", "remarks"),
}
# Names that say what is measured and not in what.
_UNIT_MISSING: Mapping[str, tuple[str, ...]] = {
    "weight": ("weight_lb", "weight_kg"),
    "yield": ("weight_lb", "weight_kg"),
    "harvest": ("weight_lb", "weight_kg"),
    "wanted height": ("wanted_height_m", "wanted_height_ft"),
    "x": ("x_m", "x_ft"),
    "y": ("y_m", "y_ft"),
    "height": ("height_cm", "height_ft"),
    "spread": ("spread_cm", "spread_ft"),
    "girth": ("girth_cm", "girth_in"),
    "trunk girth": ("girth_cm", "girth_in"),
    "shoot length": ("shoot_cm", "shoot_in"),
}


@dataclass(frozen=True, slots=True)
class Columns:
    """Which column holds which field.

    Attributes:
        header: the column names as the file has them.
        places: field name to position in the line.
        unused: names of the columns that no field takes.
    """

    header: tuple[str, ...]
    places: Mapping[str, int]
    unused: tuple[str, ...]

    def cell(self, cells: tuple[str, ...], field: str) -> str:
        """The text of a field in a line; empty if the list has no such column."""
        place = self.places.get(field)
        return "" if place is None else cells[place]

    def name(self, field: str) -> str:
        """What the file itself calls the column of a field."""
        return self.header[self.places[field]]

    def words(self) -> list[str]:
        """How the columns were taken, one line each."""
        taken = [f'column "{self.header[place]}" is {field}' for field, place in self.places.items()]
        return [
            *taken,
            *(f'column "{name}" is not used; add --map "{name}=FIELD" to use it' for name in self.unused),
        ]


def match_columns(
    header: tuple[str, ...], fields: Mapping[str, tuple[str, ...]], said: Iterable[str] = ()
) -> Columns:
    """Which column is which field.

    Args:
        header: the column names of the file.
        fields: field names, each with other names that lists use for it.
        said: the grower's own word, each "Their column=field"; an empty field leaves the column out.

    Raises:
        BadInput: a saying does not fit, two columns want one field, or a column does not say its unit.
    """
    places: dict[str, int] = {}
    settled: set[str] = set()
    for column, field in _sayings(header, fields, said):
        settled.add(column)
        if field:
            _take(places, header, field, header.index(column))
    own = {_plain(field): field for field in fields}
    other = {_plain(name): field for field, names in fields.items() for name in names}
    for names in (own, other):
        # A list may have both "plant" and "name": another name counts only where no column has the field's own.
        sure = set(places)
        for place, column in enumerate(header):
            field_named = names.get(_plain(column))
            if column in settled or field_named is None or field_named in sure:
                continue
            _take(places, header, field_named, place)
            settled.add(column)
    unused = tuple(column for column in header if column not in settled)
    for column in unused:
        choices = [field for field in _UNIT_MISSING.get(_plain(column), ()) if field in fields]
        if choices and not any(field in places for field in choices):
            raise BadInput(
                f'The column "{column}" does not say its unit. Add '
                + " or ".join(f'--map "{column}={field}"' for field in choices)
                + f' (or --map "{column}=" to leave it out).'
            )
    return Columns(header, places, unused)


def require(columns: Columns, field: str, otherwise: str) -> None:
    """Raises BadInput, with what to do, if no column holds the field."""
    if field not in columns.places:
        seen = ", ".join(columns.header)
        raise BadInput(f"No column for {field} was found among: {seen}. {otherwise}")


def _plain(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", " ", name.casefold()).strip()


def _take(places: dict[str, int], header: tuple[str, ...], field: str, place: int) -> None:
    if field in places:
        first, second = header[places[field]], header[place]
        raise BadInput(
            f'The columns "{first}" and "{second}" could both be {field}. '
            f'Add --map "{second}=" to leave one out, or --map "{second}=FIELD" to say what it is.'
        )
    places[field] = place


def _sayings(
    header: tuple[str, ...], fields: Mapping[str, tuple[str, ...]], said: Iterable[str]
) -> list[tuple[str, str]]:
    found = []
    for saying in said:
        column, equals, field = (part.strip() for part in saying.rpartition("="))
        if not equals:
            raise BadInput(f'--map "{saying}" is not understood. Write --map "Their column=field".')
        if column not in header:
            raise BadInput(
                f'--map names the column "{column}", which is not there. There are: {", ".join(header)}.'
            )
        if field and field not in fields:
            raise BadInput(
                f'--map names the field "{field}", which is not known. There are: {", ".join(fields)}.'
            )
        found.append((column, field))
    return found
