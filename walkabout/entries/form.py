"""The form behind a kind of entry."""

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import Any

from wtforms import Form

from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import SHOWN_DIGITS, ConvertedField, plain_number
from walkabout.entries.limbs import LimbField
from walkabout.entries.photos import PhotosField
from walkabout.entries.texts import gettext
from walkabout.entries.texts import lazy_gettext as _
from walkabout.errors import BadInput

_LONGEST_TEXT = 10_000  # characters of one JSON text, whatever its field says
_LONGEST_NAME = 40
_LONGEST_LIST = 50
_LARGEST_NUMBER = 10**12


class Posted(dict[str, list[str]]):
    """Form data as WTForms asks for it."""

    def getlist(self, name: str) -> list[str]:
        """All texts posted under a name."""
        return self.get(name, [])


class EntryForm(Form):
    """Fields of one kind of entry for one plant.

    A subclass declares the fields, says in `offer` what this plant is offered, in `preselected` what stands ready,
    and in `stored` how what was written becomes what is kept.

    Attributes:
        facts: the plant and its yard.
        absent: names of fields that this plant does not have, with the reason.
    """

    limb: Any = LimbField(_("Where on the plant"))
    photos: Any = PhotosField(_("Photos"))

    def __init__(
        self, formdata: Any = None, *, facts: KindFacts, details: Mapping[str, Any] | None = None
    ) -> None:
        self.facts = facts
        self.absent: dict[str, str] = {}
        data = {} if formdata is not None else dict(self.written(details) if details else self.preselected())
        super().__init__(formdata, data=data)
        self._converted = [field for field in self if isinstance(field, ConvertedField)]
        self.offer()
        if self.limb is not None:
            self.limb.offer_limbs(facts)
        self._answered: set[str] = set(self._fields)  # fields that may hold something

    def offer(self) -> None:
        """Set the choices of this plant, take away the fields it does not have."""

    def preselected(self) -> Mapping[str, Any]:
        """What stands ready in a form that nobody has touched."""
        return {}

    def written(self, details: Mapping[str, Any]) -> Mapping[str, Any]:
        """What was stored, as the fields of this yard show it. A subclass that says more begins with this."""
        shown = dict(details)
        if self.facts.units == "us":
            for name, kept_as, factor, digits in self._conversions():
                if isinstance(shown.get(kept_as), int | float):
                    shown[name] = round(shown.pop(kept_as) / factor, digits)
        return shown

    @classmethod
    def _conversions(cls) -> list[tuple[str, str, float, int]]:
        """Of each field in another unit: its name, the field in SI, the factor, decimals. Read from the class, since
        what is written is asked for before there are fields."""
        unbound = [
            (name, field) for name, field in cls._unbound_fields if field.field_class is ConvertedField
        ]
        return [
            (name, field.kwargs["kept_as"], field.kwargs["factor"], field.kwargs.get("digits", SHOWN_DIGITS))
            for name, field in unbound
        ]

    def shown(self, details: Mapping[str, Any]) -> dict[str, Any]:
        """What was stored, as the fields of this yard show it; what has no field here is left out."""
        found = dict(self.written(details))
        for field in self._converted if self.facts.units == "us" else ():
            if isinstance(found.get(field.kept_as), int | float):
                found[field.name] = round(found.pop(field.kept_as) / field.factor, field.digits)
        return {name: value for name, value in found.items() if name in self}

    def stored(self, given: dict[str, Any]) -> dict[str, Any]:
        """What is kept of what was given, in SI units: nothing said twice. Storing it again changes nothing."""
        return given

    def in_yard_units(self, name: str) -> Any:
        """The field that the page of this yard shows for the field `name`, which is in SI."""
        if self.facts.units == "us":
            return next((field for field in self._converted if field.kept_as == name), self._fields[name])
        return self._fields[name]

    def nothing_in(self, *names: str) -> bool:
        """Whether all of these fields were left empty. One that could not be read was not; it says so itself."""
        fields = [self._fields[name] for name in names if name in self._fields]
        return not any(field.data or field.data == 0 or field.process_errors for field in fields)

    def without(self, name: str, reason: str) -> None:
        """Take a field away from this plant, for a reason that is told to whoever sends it all the same."""
        if name in self._fields:
            del self[name]
        self.absent[name] = reason

    def details(self) -> dict[str, Any]:
        """What is to be kept of a form that was found valid."""
        given = {field.name: field.details_value for field in self}
        return self._kept({name: value for name, value in given.items() if value is not None})

    def answers(self) -> list[tuple[str, str]]:
        """What the form says, field by field: label and answer; what was left out is left out."""
        told = [(str(field.label.text), getattr(field, "told", "")) for field in self]
        return [(label, words) for label, words in told if words]

    def _kept(self, given: dict[str, Any]) -> dict[str, Any]:
        for field in self._converted:
            if field.name in given:
                given[field.kept_as] = given.pop(field.name) * field.factor
        return self.stored(given)

    def checked(self) -> dict[str, Any]:
        """What is to be kept. Raises BadInput with the first reason and its field."""
        if self.validate():
            return self.details()
        for field in self:
            if field.errors:
                raise _first_error(field)
        raise BadInput(" ".join(str(error) for error in self.form_errors))

    def checked_json(self, details: object) -> dict[str, Any]:
        """What is to be kept of synced JSON; nothing of what this form held before matters.

        Raises:
            BadInput: not an object, an unknown field, a value of the wrong type or a wrong value; the message names
                the field.
        """
        if not isinstance(details, Mapping):
            raise BadInput(gettext("The details of an entry are named fields; this is something else."))
        given = Posted({name: self._as_texts(name, value) for name, value in details.items()})
        # Most fields of most entries are empty, and an empty field is good unless something is asked of it. Filling
        # and judging only the others, in their order, is the same as `checked` and takes half the time.
        for name in self._answered.union(given):
            self._fields[name].process(given)
        self._answered = set(given)
        kept = {}
        for name, field, own, always in self._judged:
            if name not in given:
                if always and not field.validate(self, own):
                    raise _first_error(field)
                continue
            if not field.validate(self, own):
                raise _first_error(field)
            value = field.details_value
            if value is not None:
                kept[name] = value
        return self._kept(kept)

    @cached_property
    def _judged(self) -> list[tuple[str, Any, tuple[Callable[..., None], ...], bool]]:
        """Of each field: its name, itself, the form's own check of it (as WTForms finds it), whether judged when empty."""
        judged: list[tuple[str, Any, tuple[Callable[..., None], ...], bool]] = []
        for name, field in self._fields.items():
            own = getattr(type(self), f"validate_{name}", None)
            judged.append((name, field, (own,) if own else (), bool(own or field.needed)))
        return judged

    def _as_texts(self, name: object, value: object) -> list[str]:
        if not isinstance(name, str) or name not in self._fields:
            shown = str(name)[:_LONGEST_NAME].encode("ascii", "backslashreplace").decode()
            reason = self.absent.get(name) if isinstance(name, str) else None
            raise BadInput(
                reason or gettext("There is no field “%(name)s” in this kind of entry.", name=shown), shown
            )
        field = self._fields[name]
        if field.json_types == (list,):
            if not isinstance(value, list) or len(value) > _LONGEST_LIST:
                wanted = gettext("this must be a short list of texts.")
                raise BadInput(f"{field.label.text}: {wanted}", name)
            return [_as_text(field, each, (str,)) for each in value]
        return [_as_text(field, value, field.json_types)]


def _as_text(field: Any, value: object, types: tuple[type, ...]) -> str:
    if isinstance(value, bool) or not isinstance(value, types):
        wanted = gettext("a text") if str in types else gettext("a number")
        raise BadInput(
            f"{field.label.text}: " + gettext("this must be %(wanted)s.", wanted=wanted), field.name
        )
    if isinstance(value, str):
        if len(value) > _LONGEST_TEXT:
            raise BadInput(f"{field.label.text}: " + gettext("this is too long to be kept."), field.name)
        return value
    assert isinstance(value, int | float)  # noqa: S101 -- the types above leave nothing else
    if not -_LARGEST_NUMBER < value < _LARGEST_NUMBER:  # also refuses what is not a number
        raise BadInput(f"{field.label.text}: " + gettext("this number is out of bounds."), field.name)
    return plain_number(value)


def _first_error(field: Any) -> BadInput:
    return BadInput(f"{field.label.text}: {field.errors[0]}", field.name)
