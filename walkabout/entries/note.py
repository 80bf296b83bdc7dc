"""Note: words of the grower's own, or a photo that says it."""

from typing import Any

from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import WordsField
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.texts import lazy_gettext as _
from walkabout.entries.texts import ngettext

LONGEST = 2000


class NoteWordsField(WordsField):
    """Words that are needed where there is no photo."""

    def pre_validate(self, form: Any) -> None:
        if self.data or not form.photos.data:
            super().pre_validate(form)


class NoteForm(EntryForm):
    """A note of one line or several, a photo, or both."""

    words = NoteWordsField(_("Note"), longest=LONGEST, lines=True, needed=True)


def headline(details: Details, _facts: KindFacts) -> str:
    """The words themselves; of photos without words how many there are."""
    photos = len(details.get("photos", ()))
    return str(details.get("words") or ngettext("%(num)d photo", "%(num)d photos", photos))


def subject(_details: Details) -> str:
    """Nothing within the kind."""
    return ""


KIND = Kind("note", _("Note"), 1, NoteForm, headline, subject)
