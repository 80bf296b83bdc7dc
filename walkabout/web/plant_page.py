"""The page of a plant: the same at its own address and at those of its tags."""

from collections.abc import Iterable
from itertools import groupby

from flask import Response, abort, make_response, redirect, render_template, request, url_for

from walkabout.care import plant_view
from walkabout.care.story import StoryLine
from walkabout.horticulture.season import season_begun
from walkabout.records import plants
from walkabout.records.merges import survivor
from walkabout.sync.pages import plant_page_version
from walkabout.web import access, clock
from walkabout.web.kept import kept_page
from walkabout.web.words import season_words


def plant_page(plant_id: str, limb_id: str | None = None) -> Response:
    """The whole answer for one plant; 304 if the phone has this version. A merged plant leads to its survivor.

    Args:
        plant_id: the plant.
        limb_id: the limb whose tag was opened. A page that points at it is a passing view, which no phone keeps; on
            the kept one static/js/limbs.js does the pointing.
    """
    plant = plants.plant(plant_id)
    if plant is None:
        abort(404)
    if plant.merged_into is not None:
        onward = url_for("plants.plant", plant_id=survivor(plant_id), kept=request.args.get("kept"))
        return make_response(redirect(onward))
    today = clock.today()
    version = plant_page_version(plant, today)

    def render() -> str:
        here = access.signed_in()
        view = plant_view.load(plant, clock.the_yard(), today, person_id=here.person.id if here else None)
        kept = next((line for line in view.story if line.entry_id == request.args.get("kept")), None)
        return render_template(
            "plants/plant.html",
            view=view,
            seasons=by_season(view.story),
            version=version,
            kept=kept,
            opened_limb=limb_id,
        )

    return make_response(render()) if limb_id else kept_page(version, render)


def by_season(story: Iterable[StoryLine]) -> list[tuple[str, list[StoryLine]]]:
    """The story cut where a growing season begins, the latest first: words for each season and its lines."""
    latitude = clock.the_yard().latitude
    cut = groupby(story, key=lambda line: season_begun(line.seen_on, latitude))
    return [(season_words(begun), list(lines)) for begun, lines in cut]
