"""The photos of an entry: every kind but withdrawal may have some.

An entry names its photos by the hashes of what the phone sends; they travel apart from it and may come later.
"""

import re
from typing import Any

from wtforms.validators import ValidationError

from walkabout.entries.fields import SeveralField
from walkabout.entries.texts import lazy_gettext as _

MOST_PHOTOS = 4
_HASH = re.compile(r"[0-9a-f]{64}", re.ASCII)


def is_photo(name: str) -> bool:
    """Whether this can be the name of a photo: a SHA-256 in lower-case hexadecimal."""
    return _HASH.fullmatch(name) is not None


class PhotosField(SeveralField):
    """Names of photos in the order in which they were added, each once. The forms of kinds do not draw it."""

    def process_formdata(self, valuelist: list[str]) -> None:
        self.data = list(dict.fromkeys(value.strip() for value in valuelist if value.strip()))

    @property
    def told(self) -> str:
        """Nothing: photos are shown, not told."""
        return ""

    def pre_validate(self, form: Any) -> None:
        if not all(is_photo(value) for value in self.data):
            raise ValidationError(_("This is not the name of a photo. Add the photo again."))
        if len(self.data) > MOST_PHOTOS:
            raise ValidationError(
                _("An entry takes at most %(most)s photos. Take some away.", most=MOST_PHOTOS)
            )
