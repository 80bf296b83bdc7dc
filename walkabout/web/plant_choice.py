"""Choosing another plant of the yard by writing its name or the code of its tag."""

from flask_babel import gettext as _

from walkabout.errors import BadInput
from walkabout.records import plants, tags
from walkabout.records.plants import Plant, folded
from walkabout.tags.codes import CodeError, read_code
from walkabout.web.plant_dates import tidy

MOST_OFFERED = 500  # names; a longer list is no help on a phone


def chosen_plant(written: str | None) -> Plant:
    """The plant of that name or tag code.

    Raises:
        BadInput: there is none, or several bear the name.
    """
    words = tidy(written)
    if not words:
        raise BadInput(_("Write the name of the plant, or the code of its tag."), "other")
    named = plants.plants_named([words]).get(folded(words), [])
    if len(named) > 1:
        raise BadInput(_("Several plants are called so. Write the code of its tag instead."), "other")
    found = named[0] if named else _tagged(words)
    if found is None:
        raise BadInput(
            _("No plant of this yard has this name or tag code. Compare it with the list of plants."), "other"
        )
    return found


def names_to_offer(but: str = "") -> list[str]:
    """Names to choose from, but for the plant of that id; none in a yard of very many."""
    if plants.count_plants() > MOST_OFFERED:
        return []
    return sorted({plant.name for plant in plants.plants() if plant.id != but}, key=str.casefold)


def _tagged(words: str) -> Plant | None:
    try:
        known = tags.tag(read_code(words))
    except CodeError:
        return None
    return plants.plant(known.plant_id) if known is not None and known.plant_id else None
