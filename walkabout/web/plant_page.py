"""The page of a plant: the same at its own address and at those of its tags."""

from collections.abc import Iterable
from itertools import groupby

from flask import Response, abort, render_template, request

from walkabout.care import plant_view
from walkabout.care.story import StoryLine
from walkabout.horticulture.season import season_begun
from walkabout.records import plants
from walkabout.sync.pages import plant_page_version
from walkabout.web import access, clock
from walkabout.web.kept import kept_page
from walkabout.web.words import season_words


def plant_page(plant_id: str) -> Response:
    """The whole answer for one plant; 304 if the phone has this version."""
    plant = plants.plant(plant_id)
    if plant is None:
        abort(404)
    today = clock.today()
    version = plant_page_version(plant, today)

    def render() -> str:
        here = access.signed_in()
        view = plant_view.load(plant, clock.the_yard(), today, person_id=here.person.id if here else None)
        kept = next((line for line in view.story if line.entry_id == request.args.get("kept")), None)
        return render_template(
            "plants/plant.html", view=view, seasons=by_season(view.story), version=version, kept=kept
        )

    return kept_page(version, render)


def by_season(story: Iterable[StoryLine]) -> list[tuple[str, list[StoryLine]]]:
    """The story cut where a growing season begins, the latest first: words for each season and its lines."""
    latitude = clock.the_yard().latitude
    cut = groupby(story, key=lambda line: season_begun(line.seen_on, latitude))
    return [(season_words(begun), list(lines)) for begun, lines in cut]
