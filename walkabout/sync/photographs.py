"""Photos in: judged, made anew, kept. Sending one again, cut at any byte before, keeps it once."""

from walkabout.entries.pictures import remade
from walkabout.entries.texts import gettext as _
from walkabout.errors import BadInput, Conflict
from walkabout.records import photos
from walkabout.records.people import Person

MOST_BYTES = 2_000_000  # of a photo as a phone sends it, made small there
MOST_ORIGINAL_BYTES = 25_000_000  # of one as a camera made it, by an ordinary form
MOST_KEPT_THUMBS = 1000  # that a phone keeps for use without the network: 20 MB at most


def take(name: str, sent: bytes, person: Person) -> str:
    """Keep a photo that came whole.

    Args:
        name: what the phone calls it: the SHA-256 of the bytes.
        sent: the bytes.
        person: who is signed in.

    Returns:
        "stored", or "here" when it has been kept already.

    Raises:
        Conflict: these are not the bytes of that name.
        BadInput: it cannot be kept; the message says why, for the person who took it.
        DataFolderError: the disk took no more.
    """
    if photos.name_of(sent) != name:
        raise Conflict(
            _("This photo was spoilt on the way. Nothing of it is kept here; it is sent once more.")
        )
    return photos.HERE if photos.is_kept(name) else photos.keep(name, remade(sent), person.id)


def take_original(sent: bytes, person: Person) -> str:
    """Keep a photo as a camera made it; gives its name. Raises as `take` does."""
    if len(sent) > MOST_ORIGINAL_BYTES:
        raise BadInput(
            _(
                "This photo has more than %(most)d MB, so it is not kept. Everything else is as you left it. "
                "Add a smaller copy of it.",
                most=MOST_ORIGINAL_BYTES // 1_000_000,
            )
        )
    name = photos.name_of(sent)
    take(name, sent, person)
    return name
