"""Fields of the forms of entries: taps, numbers, days and words.

Each field reads the text of a post; a JSON value is turned into that text first, so that both ways meet the same
checks. `details_value` is what is stored, None when the field was left empty.
"""

import math
import re
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, ClassVar

from wtforms import Field, StringField
from wtforms.validators import ValidationError

from walkabout.entries.texts import lazy_gettext as _

Choices = Sequence[tuple[str, Any]]

_NUMBER = re.compile(r"\d{1,15}(?:[.,]\d*)?|[.,]\d+", re.ASCII)
_THOUSANDS = re.compile(r"\d{1,3}(?:,\d{3})+(?:\.\d*)?", re.ASCII)
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
SHOWN_DIGITS = 2  # of a stored length or weight in the units of a yard
_LONGEST_NUMBER = 400  # signs; the longest way to write a float without an exponent is shorter
# Control signs, and halves of a pair that no text can hold.
_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")


class TapField(Field):
    """One answer of a few, pressed and not typed: drawn as radio buttons.

    Attributes:
        front: how many choices stand in sight; the rest is folded away.
        blank: words of the choice that takes an answer back; None where there is none.
        needed: whether an answer must be given.
        allows: what may be stored although it is not offered.
    """

    json_types: ClassVar[tuple[type, ...]] = (str,)

    def __init__(
        self, label: Any, *, choices: Choices = (), blank: Any = None, needed: bool = False, **kwargs: Any
    ) -> None:
        super().__init__(label, **kwargs)
        self.needed = needed
        self.choices: Choices = choices
        self.blank = blank
        self.front: int | None = None
        self.allows: Callable[[str], bool] = lambda _value: False

    def offer(self, choices: Iterable[tuple[str, Any]], front: int | None = None) -> None:
        """Set what is offered, and how much of it stands in sight."""
        self.choices = tuple(choices)
        self.front = front

    def process_formdata(self, valuelist: list[str]) -> None:
        self.data = valuelist[0].strip() or None if valuelist else None

    def pre_validate(self, form: Any) -> None:
        if self.data is None:
            if self.needed:
                raise ValidationError(_("Choose one."))
            return
        if self.data not in {value for value, _words in self.choices} and not self.allows(self.data):
            raise ValidationError(_("This is not one of the choices."))

    @property
    def details_value(self) -> str | None:
        return self.data or None

    @property
    def told(self) -> str:
        """The answer in words."""
        return str(dict(self.choices).get(self.data or "", self.data or ""))

    @property
    def in_sight(self) -> Choices:
        return self.choices[: self.front]

    @property
    def folded(self) -> Choices:
        return () if self.front is None else self.choices[self.front :]

    @property
    def folded_is_chosen(self) -> bool:
        return self.data in {value for value, _words in self.folded}


class SeveralField(Field):
    """Any number of answers of a few: drawn as check boxes, stored as a list in the order offered, each once.

    Attributes:
        front: how many choices stand in sight; the rest is folded away.
        needed: whether at least one answer must be given.
        allows: what may be stored although it is not offered.
    """

    json_types: ClassVar[tuple[type, ...]] = (list,)

    def __init__(self, label: Any, *, choices: Choices = (), needed: bool = False, **kwargs: Any) -> None:
        super().__init__(label, **kwargs)
        self.needed = needed
        self.choices: Choices = choices
        self.front: int | None = None
        self.allows: Callable[[str], bool] = lambda _value: False

    def offer(self, choices: Iterable[tuple[str, Any]], front: int | None = None) -> None:
        """Set what is offered, and how much of it stands in sight."""
        self.choices = tuple(choices)
        self.front = front

    def process_data(self, value: Any) -> None:
        self.data: list[str] = list(value) if isinstance(value, list | tuple) else [value] if value else []

    def process_formdata(self, valuelist: list[str]) -> None:
        given = {value.strip() for value in valuelist} - {""}
        offered = [value for value, _words in self.choices if value in given]
        self.data = offered + sorted(given.difference(offered))

    def pre_validate(self, form: Any) -> None:
        if self.needed and not self.data:
            raise ValidationError(_("Choose at least one."))
        offered = {value for value, _words in self.choices}
        if any(value not in offered and not self.allows(value) for value in self.data):
            raise ValidationError(_("This is not one of the choices."))

    @property
    def details_value(self) -> list[str] | None:
        return self.data or None

    @property
    def told(self) -> str:
        """The answers in words."""
        words = dict(self.choices)
        return ", ".join(str(words.get(value, value)) for value in self.data)

    @property
    def in_sight(self) -> Choices:
        return self.choices[: self.front]

    @property
    def folded(self) -> Choices:
        return () if self.front is None else self.choices[self.front :]

    @property
    def folded_is_chosen(self) -> bool:
        return any(value in self.data for value, _words in self.folded)


class NumberField(Field):
    """A number within limits, written with a point or a comma.

    What stands in it before it is posted may be a text, from an address; it is shown and not judged.
    """

    json_types: ClassVar[tuple[type, ...]] = (int, float)
    needed = False

    def __init__(self, label: Any, *, low: int, high: int, whole: bool = False, **kwargs: Any) -> None:
        super().__init__(label, **kwargs)
        self.low, self.high, self.whole = low, high, whole
        self.written = ""

    def process_data(self, value: Any) -> None:
        self.data = value if isinstance(value, int | float) else None
        self.written = str(value or "") if self.data is None else plain_number(self.data)

    def process_formdata(self, valuelist: list[str]) -> None:
        self.written = valuelist[0].strip()[:_LONGEST_NUMBER] if valuelist else ""
        self.data = None
        if not self.written:
            return
        if _THOUSANDS.fullmatch(self.written):
            raise ValueError(_("Write the number without a mark between thousands, such as 1500 or 1.5."))
        if not _NUMBER.fullmatch(self.written):
            raise ValueError(self._limits())
        number = float(self.written.replace(",", "."))
        if not self.low <= number <= self.high or (self.whole and number != math.floor(number)):
            raise ValueError(self._limits())
        self.data = int(number) if self.whole else number

    def _limits(self) -> Any:
        if self.whole:
            return _("Write a whole number from %(low)s to %(high)s.", low=self.low, high=self.high)
        return _("Write a number from %(low)s to %(high)s.", low=self.low, high=self.high)

    @property
    def details_value(self) -> float | int | None:
        value: float | int | None = self.data
        return value

    @property
    def told(self) -> str:
        """The number as it was written."""
        return self.written


class ConvertedField(NumberField):
    """A number in a unit that is not stored, beside the field in SI that is: weight_lb beside weight_kg.

    The field's name says its unit, so that a yard may change its units while entries wait on a phone.

    Attributes:
        kept_as: name of the field in SI.
        factor: SI units in one of these.
        digits: how many decimals are shown of what was stored.
    """

    def __init__(
        self,
        label: Any,
        *,
        low: int,
        high: int,
        kept_as: str,
        factor: float,
        digits: int = SHOWN_DIGITS,
        **kwargs: Any,
    ) -> None:
        super().__init__(label, low=low, high=high, **kwargs)
        self.kept_as, self.factor, self.digits = kept_as, factor, digits

    def pre_validate(self, form: Any) -> None:
        if self.data is not None and form[self.kept_as].data is not None:
            raise ValidationError(_("Give it once, in one unit or the other."))


class DayField(Field):
    """A civil date, ISO 8601; `form.facts.today` bounds it to a day ahead, for a phone west or east of the yard."""

    json_types: ClassVar[tuple[type, ...]] = (str,)
    needed = False
    EARLIEST = date(1900, 1, 1)

    def __init__(self, label: Any, **kwargs: Any) -> None:
        super().__init__(label, **kwargs)
        self.written = ""

    def process_data(self, value: Any) -> None:
        self.data = value
        self.written = value or ""

    def process_formdata(self, valuelist: list[str]) -> None:
        self.written = valuelist[0].strip()[:20] if valuelist else ""
        self.data = None
        if not self.written:
            return
        if not _DAY.fullmatch(self.written):
            raise ValueError(_("Write the date as year-month-day, such as 2026-01-14."))
        try:
            date.fromisoformat(self.written)
        except ValueError:
            raise ValueError(_("There is no such day in the calendar.")) from None
        self.data = self.written

    def pre_validate(self, form: Any) -> None:
        if self.data is None:
            return
        day = date.fromisoformat(self.data)
        if (day - form.facts.today).days > 1:
            raise ValidationError(_("This day has not come yet. Check the date."))
        if day < self.EARLIEST:
            raise ValidationError(_("Write a day from 1900 on."))

    @property
    def details_value(self) -> str | None:
        value: str | None = self.data
        return value

    @property
    def told(self) -> str:
        """The day as it was written."""
        return self.written


class WordsField(StringField):
    """Words of the grower's own, kept as written but for blanks at the ends; one line unless `lines`.

    Attributes:
        longest: how many characters at most.
        needed: whether a page asks for them before it lets the form go.
    """

    json_types: ClassVar[tuple[type, ...]] = (str,)

    def __init__(
        self, label: Any, *, longest: int, lines: bool = False, needed: bool = False, **kwargs: Any
    ) -> None:
        super().__init__(label, **kwargs)
        self.longest, self.lines, self.needed = longest, lines, needed

    def process_formdata(self, valuelist: list[str]) -> None:
        written = valuelist[0] if valuelist else ""
        # A post writes line ends as CR LF, a script as LF.
        self.data = "\n".join(written.splitlines()).strip() if self.lines else " ".join(written.split())

    def pre_validate(self, form: Any) -> None:
        if len(self.data or "") > self.longest:
            raise ValidationError(
                _(
                    "%(found)s characters are too many; %(most)s fit. Shorten it or make two entries.",
                    found=len(self.data),
                    most=self.longest,
                )
            )
        if _UNPRINTABLE.search(self.data or ""):
            raise ValidationError(_("It holds signs that cannot be printed. Type it anew."))
        if self.needed and not self.data:
            raise ValidationError(_("Write something."))

    @property
    def details_value(self) -> str | None:
        return self.data or None

    @property
    def told(self) -> str:
        """The words."""
        return self.data or ""


def plain_number(value: float) -> str:
    """A number without exponent: 1e-07 is "0.0000001", 12.0 is "12"."""
    text = format(Decimal(repr(value)), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
