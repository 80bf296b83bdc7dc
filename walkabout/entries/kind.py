"""What every kind of entry has."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from walkabout.entries.facts import KindFacts
from walkabout.entries.form import EntryForm, Posted

Details = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of entry, defined once.

    Attributes:
        key: name in records, addresses, templates.
        title: words on its button (translated when shown).
        form_version: raised when the meaning of a field changes.
        form: the form with its fields and checks.
        headline: plain words for what was noted, from stored details.
        subject: what of the plant it is about, so that a later entry can follow it; "" when nothing.
        on_plants: whether a person chooses it on a plant's page.
        said_first: whether its answers alone ("heavy", "a bowlful") do not tell what they are about, so that its title
            is put before them where a phone tells a note by its answers.
    """

    key: str
    title: Any
    form_version: int
    form: type[EntryForm]
    headline: Callable[[Details, KindFacts], str]
    subject: Callable[[Details], str]
    on_plants: bool = True
    said_first: bool = False

    @property
    def template(self) -> str:
        """The partial that draws its fields."""
        return f"entries/_{self.key}.html"

    def draw(self, facts: KindFacts, details: Details | None = None) -> EntryForm:
        """The form to show: with what stands ready, or with the details of an entry that is to be corrected."""
        return self.form(facts=facts, details=details)

    def posted(self, formdata: Any, facts: KindFacts) -> EntryForm:
        """The form filled from an ordinary post; `validate()` it, then take `details()`. Other names are ignored."""
        return self.form(formdata, facts=facts)

    def from_post(self, formdata: Any, facts: KindFacts) -> dict[str, Any]:
        """Details to keep, from an ordinary post. Raises BadInput with a reason."""
        return self.posted(formdata, facts).checked()

    def check(self, details: object, facts: KindFacts) -> dict[str, Any]:
        """Details to keep, from synced JSON: SI units, unknown fields refused. Raises BadInput with a reason.

        Checking what was kept gives the same again.
        """
        return self.checker(facts)(details)

    def checker(self, facts: KindFacts) -> Callable[[object], dict[str, Any]]:
        """`check` for one entry after another under the same facts; making a form is most of the work of a check."""
        return self.form(Posted(), facts=facts).checked_json
