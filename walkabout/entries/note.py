"""Note: words of the grower's own."""

from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import WordsField
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.texts import lazy_gettext as _

LONGEST = 2000


class NoteForm(EntryForm):
    """A note of one line or several."""

    words = WordsField(_("Note"), longest=LONGEST, lines=True, needed=True)


def headline(details: Details, _facts: KindFacts) -> str:
    """The words themselves."""
    return str(details["words"])


def subject(_details: Details) -> str:
    """Nothing within the kind."""
    return ""


KIND = Kind("note", _("Note"), 1, NoteForm, headline, subject)
