"""The form of a plant's facts, and the filters of the yard list."""

import re
from collections.abc import Iterable
from datetime import date
from typing import Any

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import DecimalField, Form, RadioField, SelectField, StringField, ValidationError
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length, NumberRange, Optional

from walkabout.records.plants import Plant, PlantFacts
from walkabout.reference.crops import crop_name, find_crop
from walkabout.web import clock, words

_LONGEST = 120
_EARLIEST_YEAR = 1800
_FURTHEST = 10_000  # of the yard's units of length, either way from its corner
_LARGEST_CONTAINER = 100_000
_PLANTED = re.compile(r"(about\s+)?(\d{4})(?:-(\d{1,2})(?:-(\d{1,2}))?)?", re.IGNORECASE)

RAISED = (
    SelectChoice("grafted", _("grafted")),
    SelectChoice("budded", _("budded")),
    SelectChoice("cutting", _("cutting")),
    SelectChoice("layer", _("layer")),
    SelectChoice("seed", _("seed")),
    SelectChoice("sucker", _("sucker")),
    SelectChoice("division", _("division")),
    SelectChoice("runner", _("runner")),
    SelectChoice("", _("not known")),
)
STANDS = (SelectChoice("ground", _("in the ground")), SelectChoice("container", _("in a container")))
STATES = (
    SelectChoice("growing", _("growing")),
    SelectChoice("dead", _("dead")),
    SelectChoice("gone", _("gone")),
)


def tidy(text: str | None) -> str:
    """Text with single spaces and none at its ends."""
    return " ".join((text or "").split())


def read_planted(text: str, today: date) -> tuple[str | None, bool]:
    """When a plant was planted, as written: (ISO date, month or year; None when empty, whether about).

    Raises:
        ValidationError: it is no date, or lies ahead.
    """
    if not text:
        return None, False
    found = _PLANTED.fullmatch(text)
    if found is None:
        raise ValidationError(
            _("Write a date as 2021-03-14, a month as 2021-03, a year as 2021, or about 2021.")
        )
    parts = [int(part) for part in found.groups()[1:] if part]
    try:
        day = date(*parts, *[1] * (3 - len(parts)))
    except ValueError as error:
        raise ValidationError(_("There is no such day. Write it as 2021-03-14.")) from error
    if day > today:
        raise ValidationError(_("This day is still to come. Look at the year again."))
    if day.year < _EARLIEST_YEAR:
        raise ValidationError(_("This is before 1800. Look at the year again."))
    return day.isoformat()[: (4, 7, 10)[len(parts) - 1]], bool(found[1])


def _length_field(label: str) -> DecimalField:
    return DecimalField(label, [Optional(), NumberRange(-_FURTHEST, _FURTHEST)], places=2)


class PlantForm(FlaskForm):
    """What a person says a plant is. Lengths and volume are in the yard's units."""

    name = StringField(
        _("Your name for it"), [InputRequired(_("Give it a name to find it by.")), Length(max=_LONGEST)]
    )
    crop = StringField(
        _("Crop"), [InputRequired(_("Say what it is: fig, apple, mandarin.")), Length(max=_LONGEST)]
    )
    cultivar = StringField(_("Cultivar"), [Length(max=_LONGEST)])
    rootstock = StringField(_("Rootstock"), [Length(max=_LONGEST)])
    raised = RadioField(_("Raised from"), choices=RAISED, default="", validate_choice=True)
    planted = StringField(_("Planted"), [Length(max=40)])
    spot = StringField(_("Spot"), [Length(max=_LONGEST)])
    x = _length_field(_("Along, from the yard's corner"))
    y = _length_field(_("Across, from the yard's corner"))
    stands = RadioField(_("Stands"), choices=STANDS, default="ground")
    volume = DecimalField(_("Container holds"), [Optional(), NumberRange(0.1, _LARGEST_CONTAINER)], places=1)
    state = RadioField(_("State"), choices=STATES, default="growing")

    @classmethod
    def of(cls, plant: Plant) -> "PlantForm":
        """The form filled with what is recorded of a plant."""
        spot = plant.spot
        return cls(
            data={
                "name": plant.name,
                "crop": crop_name(plant.crop),
                "cultivar": plant.cultivar,
                "rootstock": plant.rootstock,
                "raised": plant.raised,
                "planted": f"{'about ' if plant.planted_about else ''}{plant.planted or ''}",
                "spot": spot.name if spot else "",
                "x": _shown(spot.x_m if spot else None, words.length_in_yard_units),
                "y": _shown(spot.y_m if spot else None, words.length_in_yard_units),
                "stands": "container" if plant.container else "ground",
                "volume": _shown(plant.container_litres, words.volume_in_yard_units),
                "state": plant.state,
            }
        )

    def validate_name(self, field: StringField) -> None:
        """A name of blanks is none."""
        if not tidy(field.data):
            raise ValidationError(_("Give it a name to find it by."))

    def validate_crop(self, field: StringField) -> None:
        """A crop of blanks is none."""
        if not tidy(field.data):
            raise ValidationError(_("Say what it is: fig, apple, mandarin."))

    def validate_planted(self, field: StringField) -> None:
        """A date, a month or a year, exact or about, that is not ahead."""
        read_planted(tidy(field.data), clock.today())

    def validate_x(self, field: DecimalField) -> None:
        """A position belongs to a spot, so the spot needs a name."""
        if (field.data is not None or self.y.data is not None) and not tidy(self.spot.data):
            raise ValidationError(_("A position is that of a spot. Give the spot a name above."))

    def facts(self) -> PlantFacts:
        """What was filled in, in SI; the form must have been found valid."""
        planted, about = read_planted(tidy(self.planted.data), clock.today())
        crop = tidy(self.crop.data)
        known = find_crop(crop)
        in_container = self.stands.data == "container"
        return PlantFacts(
            name=tidy(self.name.data),
            crop=known.crop.key if known else crop,
            cultivar=tidy(self.cultivar.data),
            rootstock=tidy(self.rootstock.data),
            raised=self.raised.data,
            planted=planted,
            planted_about=about,
            spot=tidy(self.spot.data),
            x_m=_taken(self.x.data, words.metres),
            y_m=_taken(self.y.data, words.metres),
            container=in_container,
            container_litres=_taken(self.volume.data, words.litres) if in_container else None,
            state=self.state.data,
        )


class FilterForm(Form):
    """What the yard list is narrowed to. A form by GET, so that the address can be kept."""

    search = StringField(_("Find"), [Length(max=_LONGEST)])
    crop = SelectField(_("Crop"), validate_choice=False)
    spot = SelectField(_("Spot"), validate_choice=False)
    state = SelectField(_("State"), validate_choice=False)

    def offer(self, crops: Iterable[str], spots: Iterable[tuple[str, str]]) -> None:
        """Set what can be chosen.

        Args:
            crops: crops of the yard, as recorded.
            spots: id and name of each spot.
        """
        named = [SelectChoice(crop, crop_name(crop)) for crop in crops]
        self.crop.choices = [SelectChoice("", _("all crops")), *sorted(named, key=_by_label)]
        self.spot.choices = [SelectChoice("", _("all spots")), *(SelectChoice(*spot) for spot in spots)]
        self.state.choices = [SelectChoice("", _("all states")), *STATES]


def _by_label(choice: SelectChoice) -> str:
    return str(choice.label).casefold()


def _shown(value: float | None, convert: Any) -> float | None:
    return None if value is None else convert(value)


def _taken(value: Any, convert: Any) -> float | None:
    return None if value is None else round(convert(float(value)), 4)
