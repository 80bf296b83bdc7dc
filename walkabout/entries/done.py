"""Work done: ticks off a task, or says in words what was done."""

import re
from typing import Any

from wtforms.validators import ValidationError

from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import TapField, WordsField
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Details, Kind
from walkabout.entries.texts import gettext
from walkabout.entries.texts import lazy_gettext as _

_UUID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")


class DoneForm(EntryForm):
    """`task` is the id of any task: it may be done, changed or not here yet when the entry arrives."""

    task = TapField(_("Task"), blank=_("No task"))
    words = WordsField(_("What was done"), longest=200)

    def offer(self) -> None:
        self.task.offer(self.facts.tasks)
        self.task.allows = lambda value: _UUID.fullmatch(value) is not None

    def preselected(self) -> dict[str, Any]:
        return {"task": self.facts.tasks[0][0]} if self.facts.tasks else {}

    def validate_words(self, field: WordsField) -> None:
        """A task or words."""
        if not field.data and not self.task.data:
            raise ValidationError(_("Choose the task, or write what was done."))


def headline(details: Details, facts: KindFacts) -> str:
    """Such as "Done: cut back to living wood"."""
    words = details.get("words") or dict(facts.tasks).get(details.get("task", ""))
    return gettext("Done: %(words)s", words=words) if words else gettext("Work done")


def subject(details: Details) -> str:
    """The task's id, or nothing."""
    return str(details.get("task", ""))


KIND = Kind("done", _("Work done"), 1, DoneForm, headline, subject)
