"""Entries by ordinary forms: noting, looking at one whole, correcting it, taking it back."""

from dataclasses import dataclass, replace

from flask import Blueprint, abort, make_response, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from flask_babel import gettext as _

from walkabout.care import plant_view
from walkabout.entries.facts import KindFacts
from walkabout.entries.form import EntryForm
from walkabout.entries.kind import Kind
from walkabout.entries.kinds import headline, kind
from walkabout.entries.photos import MOST_PHOTOS
from walkabout.errors import BadInput
from walkabout.records import entries, photos, plants, stories, tasks
from walkabout.records.entries import WITHDRAWAL, Entry
from walkabout.records.stories import Place, Told
from walkabout.web import clock
from walkabout.web.forms import BareForm
from walkabout.web.keeping import KeepForm, keep
from walkabout.web.known_plant import known_plant
from walkabout.web.plant_page import by_season
from walkabout.web.posted_photos import take_posted

blueprint = Blueprint("entries", __name__)
STORY_LINES = 100
_MILLISECOND_DIGITS = 15  # of a moment since 1970; more are none


@dataclass(frozen=True, slots=True)
class Group:
    """An entry with all that replaces and withdraws it.

    Attributes:
        asked: the entry that the address names.
        told: the whole group in the order it was made.
        standing: what stands of it; None when it is taken back.
    """

    asked: Entry
    told: list[Told]
    standing: Entry | None

    @property
    def root_id(self) -> str:
        """The original entry, which corrections and withdrawals name."""
        return self.told[0].root_id or self.asked.id


@blueprint.route("/plants/<plant_id>/note/<kind_key>", methods=["GET", "POST"])
def note(plant_id: str, kind_key: str) -> ResponseReturnValue:
    """Note something on a plant, online and without script."""
    plant = known_plant(plant_id)
    chosen = kind_on_plants(kind_key)
    facts = _facts(plant)
    if request.method == "POST":
        return _post(plant, chosen, facts, replaces=None)
    blank = chosen.draw(facts)
    preset = {
        name: values[0] if len(values) == 1 else values
        for name, values in request.args.lists()
        if name in blank
    }
    return _form_page(plant, chosen, chosen.draw(facts, preset or None), KeepForm.fresh(clock.today()))


@blueprint.route("/entries/<entry_id>/correct", methods=["GET", "POST"])
def correct(entry_id: str) -> ResponseReturnValue:
    """Correct an entry by one that stands in its place."""
    group = _group(entry_id)
    standing = group.standing
    if standing is None:
        return redirect(url_for("entries.entry", entry_id=entry_id))
    plant = _plant(standing.plant_id)
    chosen = kind(standing.kind)
    facts = _with_its_task(_facts(plant), standing)
    if request.method == "POST":
        return _post(plant, chosen, facts, replaces=group.root_id)
    form = chosen.draw(facts, standing.details)
    return _form_page(plant, chosen, form, KeepForm.fresh(standing.seen_on), correcting=True)


@blueprint.get("/entries/<entry_id>")
def entry(entry_id: str) -> ResponseReturnValue:
    """An entry whole: what it says, what stood before, and the ways to change that."""
    group = _group(entry_id)
    plant = _plant(group.asked.plant_id)
    facts = _facts(plant)
    shown = group.standing or next(
        (one.entry for one in group.told if one.entry.kind != WITHDRAWAL), group.asked
    )
    last = group.told[-1].entry
    return render_template(
        "entries/entry.html",
        plant=plant,
        shown=shown,
        words=headline(shown.kind, shown.details, facts),
        answers=kind(shown.kind).draw(facts, shown.details).answers(),
        photos=photos.come(shown.details.get("photos", ())),
        author=next(told.author_name for told in group.told if told.entry.id == shown.id),
        standing=group.standing,
        root_id=group.root_id,
        withdrawal=last if group.standing is None and last.kind == WITHDRAWAL else None,
        group=[(told, _told_words(told.entry, group, facts)) for told in group.told],
        form=BareForm(),
    )


@blueprint.get("/plants/<plant_id>/story")
def story(plant_id: str) -> ResponseReturnValue:
    """The whole story of a plant, so many lines at a time."""
    view = plant_view.load(
        known_plant(plant_id),
        clock.the_yard(),
        clock.today(),
        limit=STORY_LINES,
        before=_read_place(request.args.get("before", "")),
    )
    return render_template("entries/story.html", view=view, seasons=by_season(view.story))


@blueprint.post("/entries/<entry_id>/withdraw")
def withdraw(entry_id: str) -> ResponseReturnValue:
    """Take back an entry, a correction, or a taking back."""
    if not BareForm().validate_on_submit():
        abort(400)
    taken_back = entries.entry(entry_id)
    if taken_back is None:
        abort(404)
    keep(
        plant_id=taken_back.plant_id,
        kind_key=WITHDRAWAL,
        details={},
        seen_on=clock.today(),
        withdraws=entry_id,
    )
    return redirect(url_for("entries.entry", entry_id=entry_id))


def _post(plant: plants.Plant, chosen: Kind, facts: KindFacts, replaces: str | None) -> ResponseReturnValue:
    posted = take_posted()
    form, keeping = chosen.posted(posted.form, facts), KeepForm()
    fields_are_good, frame_is_good = form.validate(), keeping.validate_on_submit()
    form.photos.errors = [*form.photos.errors, *posted.faults]
    if fields_are_good and frame_is_good and not posted.faults:
        try:
            entry_id = keep(
                plant_id=plant.id,
                kind_key=chosen.key,
                details=form.details(),
                seen_on=keeping.seen_on.data,
                entry_id=keeping.entry_id.data,
                replaces=replaces,
            )
        except BadInput as error:
            keeping.form_errors.append(error.message)
        else:
            return redirect(url_for("plants.plant", plant_id=plant.id, kept=entry_id))
    return _form_page(plant, chosen, form, keeping, correcting=replaces is not None)


def _form_page(
    plant: plants.Plant, chosen: Kind, form: EntryForm, keeping: KeepForm, *, correcting: bool = False
) -> ResponseReturnValue:
    page = render_template(
        "entries/note.html",
        plant=plant,
        kind=chosen,
        form=form,
        keeping=keeping,
        correcting=correcting,
        come=photos.come(form.photos.data),
        most_photos=MOST_PHOTOS,
    )
    return make_response(page, 422 if form.errors or keeping.errors else 200)


def _read_place(text: str) -> Place | None:
    """A place in the story, from an address; None is its beginning."""
    seen_on, corrected_at, entry_id = (*text.split(" "), "", "", "")[:3]
    known = corrected_at.isdecimal() and len(corrected_at) <= _MILLISECOND_DIGITS
    return Place(seen_on, int(corrected_at), entry_id) if known else None


def _plant(plant_id: str) -> plants.Plant:
    return plants.plant(plant_id) or abort(404)


def kind_on_plants(kind_key: str) -> Kind:
    """The kind of an address; 404 when a person chooses none such."""
    try:
        found = kind(kind_key)
    except BadInput:
        abort(404)
    return found if found.on_plants else abort(404)


def _group(entry_id: str) -> Group:
    told = stories.tied_entries(entry_id)
    if not told:
        abort(404)
    asked = next(line.entry for line in told if line.entry.id == entry_id)
    return Group(asked, told, stories.standing_entry(entry_id))


def _facts(plant: plants.Plant) -> KindFacts:
    """With the tasks and open problems of the plant, which its forms offer first."""
    return plant_view.load(plant, clock.the_yard(), clock.today(), limit=1).facts


def _with_its_task(facts: KindFacts, entry: Entry) -> KindFacts:
    """With the task that an entry ticked off, which is open no more; a correction of it is to tick it off too."""
    ticked = tasks.task_titles({entry.details["task"]} if "task" in entry.details else ())
    return replace(facts, tasks=(*ticked.items(), *facts.tasks))


def _told_words(entry: Entry, group: Group, facts: KindFacts) -> str:
    """What one entry of a group says or does to another."""
    if entry.kind != WITHDRAWAL:
        return headline(entry.kind, entry.details, facts)
    target = next((one.entry for one in group.told if one.entry.id == entry.withdraws), None)
    if target is not None and target.kind == WITHDRAWAL:
        return str(_("Let count again"))
    if target is not None and target.replaces:
        return str(_("Correction taken back"))
    return str(_("Taken back"))
