"""The form of a plant's facts."""

from typing import Any

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import DecimalField, RadioField, StringField, ValidationError
from wtforms.fields.choices import SelectChoice
from wtforms.validators import InputRequired, Length, NumberRange, Optional

from walkabout.errors import BadInput
from walkabout.records.plants import Plant, PlantFacts
from walkabout.reference.crops import crop_name, find_crop
from walkabout.reference.training import find_training, training_name
from walkabout.web import clock, words
from walkabout.web.plant_choice import chosen_plant
from walkabout.web.plant_dates import read_about, read_exact, tidy

_LONGEST = 120
_LONGEST_WORDS = 300
_FURTHEST = 10_000  # of the yard's units of length, either way from its corner
_LARGEST_CONTAINER = 100_000
_HIGHEST = 300  # of the yard's units of length
_ENDED = ("dead", "gone")

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
    SelectChoice("wanted", _("wanted")),
    SelectChoice("ordered", _("ordered")),
    SelectChoice("dead", _("dead")),
    SelectChoice("gone", _("gone")),
)


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
    spot = StringField(_("Spot"), [Length(max=_LONGEST)])
    cultivar = StringField(_("Cultivar"), [Length(max=_LONGEST)])
    rootstock = StringField(_("Rootstock"), [Length(max=_LONGEST)])
    raised = RadioField(_("Raised from"), choices=RAISED, default="", validate_choice=True)
    planted = StringField(_("Planted"), [Length(max=40)])
    source = StringField(_("Came from"), [Length(max=_LONGEST_WORDS)])
    raised_from = StringField(_("Raised from the plant"), [Length(max=_LONGEST)])
    x = _length_field(_("Along, from the yard's corner"))
    y = _length_field(_("Across, from the yard's corner"))
    stands = RadioField(_("Stands"), choices=STANDS, default="ground")
    volume = DecimalField(_("Container holds"), [Optional(), NumberRange(0.1, _LARGEST_CONTAINER)], places=1)
    training = StringField(_("Trained as"), [Length(max=_LONGEST)])
    height = DecimalField(_("Kept at a height of"), [Optional(), NumberRange(0.1, _HIGHEST)], places=1)
    state = RadioField(_("State"), choices=STATES, default="growing")
    ended = StringField(_("Died or went"), [Length(max=40)])
    ended_why = StringField(_("Why"), [Length(max=_LONGEST_WORDS)])

    SECTIONS = (
        ("what", _("What it is"), ("cultivar", "raised", "rootstock", "planted", "source", "raised_from")),
        ("where", _("How it stands"), ("x", "y", "stands", "volume", "training", "height")),
        ("state", _("State"), ("state", "ended", "ended_why")),
    )

    @classmethod
    def of(cls, plant: Plant, raised_from: str) -> "PlantForm":
        """The form filled with what is recorded of a plant.

        Args:
            plant: the plant.
            raised_from: name of the plant that it was raised from; "" for none.
        """
        spot = plant.spot
        return cls(
            data={
                "name": plant.name,
                "crop": crop_name(plant.crop),
                "cultivar": plant.cultivar,
                "rootstock": plant.rootstock,
                "raised": plant.raised,
                "planted": f"{'about ' if plant.planted_about else ''}{plant.planted or ''}",
                "source": plant.source,
                "raised_from": raised_from,
                "spot": spot.name if spot else "",
                "x": _shown(spot.x_m if spot else None, words.length_in_yard_units),
                "y": _shown(spot.y_m if spot else None, words.length_in_yard_units),
                "stands": "container" if plant.container else "ground",
                "volume": _shown(plant.container_litres, words.volume_in_yard_units),
                "training": training_name(plant.training),
                "height": _shown(plant.wanted_height_m, words.length_in_yard_units),
                "state": plant.state,
                "ended": plant.ended or "",
                "ended_why": plant.ended_why,
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
        read_about(tidy(field.data), clock.today())

    def validate_raised_from(self, field: StringField) -> None:
        """The name or tag code of a plant of this yard."""
        if tidy(field.data):
            try:
                chosen_plant(field.data)
            except BadInput as error:
                raise ValidationError(error.message) from error

    def validate_x(self, field: DecimalField) -> None:
        """A position belongs to a spot, so the spot needs a name."""
        if (field.data is not None or self.y.data is not None) and not tidy(self.spot.data):
            raise ValidationError(_("A position is that of a spot. Give the spot a name above."))

    def validate_ended(self, field: StringField) -> None:
        """A date, a month or a year that is not ahead and not before planting."""
        ended = read_exact(tidy(field.data), clock.today())
        try:
            planted, _about = read_about(tidy(self.planted.data), clock.today())
        except ValidationError:
            return  # the field itself says so
        if ended and planted and ended < planted[: len(ended)]:
            raise ValidationError(_("It ended before it was planted. Look at both years again."))

    def facts(self) -> PlantFacts:
        """What was filled in, in SI; the form must have been found valid."""
        planted, about = read_about(tidy(self.planted.data), clock.today())
        crop, training = tidy(self.crop.data), tidy(self.training.data)
        known = find_crop(crop)
        in_container = self.stands.data == "container"
        has_ended = self.state.data in _ENDED
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
            training=find_training(training) or training,
            wanted_height_m=_taken(self.height.data, words.metres),
            source=tidy(self.source.data),
            raised_from=chosen_plant(self.raised_from.data).id if tidy(self.raised_from.data) else None,
            state=self.state.data,
            ended=read_exact(tidy(self.ended.data), clock.today()) if has_ended else None,
            ended_why=tidy(self.ended_why.data) if has_ended else "",
        )


def _shown(value: float | None, convert: Any) -> float | None:
    return None if value is None else convert(value)


def _taken(value: Any, convert: Any) -> float | None:
    return None if value is None else round(convert(float(value)), 4)
