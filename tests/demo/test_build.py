"""The demo's yard in a database: sound, whole, and the same for the same seed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.cast import TODAY
from walkabout.care.plant_view import load
from walkabout.demo.build import build
from walkabout.errors import Conflict
from walkabout.records import people, tasks
from walkabout.records.database import close_database, open_database
from walkabout.records.entries import count_entries
from walkabout.records.kin import kin
from walkabout.records.limbs import limbs_of
from walkabout.records.photo_faults import photo_faults
from walkabout.records.photos import come
from walkabout.records.plants import plants
from walkabout.records.soundness import faults
from walkabout.records.stories import latest, story, tied_entries
from walkabout.records.yards import database_id, the_yard
from walkabout.tags.codes import make_code

ORIGIN = "http://127.0.0.1:8480"


@pytest.fixture
def built(folder: Path) -> Path:
    """The demo's yard, built on the fixed day of the tests."""
    build(TODAY, origin=ORIGIN, make_code=make_code, password="three ripe quinces")
    return folder


def everything() -> Iterator[tuple[str, str, date, str, str]]:
    """Every line of every story, without the ids that chance made."""
    for plant in plants():
        for told in story(plant.id, 1000):
            details = {key: value for key, value in told.entry.details.items() if key not in ("task", "limb")}
            yield plant.name, told.entry.kind, told.entry.seen_on, str(details), told.author_name


def test_it_is_sound(built: Path) -> None:
    assert faults() == []
    assert count_entries() > 1000
    assert len(plants()) == 44  # one was put down twice and merged
    # A dead plant keeps its tag until it is taken out; what is gone gave it back, what is to come has none yet.
    assert {plant.state for plant in plants() if plant.code} == {"growing", "dead"}
    assert all(plant.code for plant in plants() if plant.state in ("growing", "dead"))
    assert Counter(plant.state for plant in plants()) == {
        "growing": 38, "dead": 1, "gone": 2, "ordered": 1, "wanted": 2,
    }  # fmt: skip
    assert sorted((person.name, person.role) for person in people.people()) == [
        ("Ines", "owner"),
        ("Tobias", "keeper"),
    ]
    assert people.check_password("Tobias", "three ripe quinces") is not None


def test_every_kind_is_told_by_both_people(built: Path) -> None:
    told = list(everything())
    assert {kind for _, kind, *_ in told} == {
        "bloom", "fruit_set", "pest", "damage", "growth", "harvest", "done", "measured", "note",
    }  # fmt: skip
    assert {author for *_, author in told} == {"Ines", "Tobias"}


def test_slips_are_put_right(built: Path) -> None:
    corrected = [told for plant in plants() for told in story(plant.id, 1000) if told.corrections]
    assert corrected
    for told in corrected:
        first, *_ = tied_entries(told.entry.id)
        assert told.entry.details["weight_kg"] == pytest.approx(2 * first.entry.details["weight_kg"])
    standing = sum(len(story(plant.id, 1000)) for plant in plants())
    assert standing < count_entries() - len(corrected)  # some were taken back


def test_work_is_due_and_some_is_done(built: Path) -> None:
    due = [task for plant in plants() for task in tasks.open_tasks(plant.id)]
    assert len(due) >= 5
    assert any(task.opens <= TODAY and (task.closes is None or task.closes >= TODAY) for task in due)
    assert any(kind == "done" and details == "{}" for _, kind, _, details, _ in everything())


def test_drawings_are_kept_as_photos_that_entries_show(built: Path) -> None:
    shown = [
        name
        for plant in plants()
        for told in story(plant.id, 1000)
        for name in told.entry.details.get("photos", ())
    ]
    assert len(shown) == len(set(shown)) >= 8
    assert set(come(shown)) == set(shown)
    assert photo_faults() == []
    assert sum(path.stat().st_size for path in (built / "photos").rglob("*.jpg")) < 1_500_000


def test_plants_in_full(built: Path) -> None:
    by_name = {plant.name: plant for plant in plants()}
    assert by_name["Goat shed fig"].raised_from == by_name["Old gate fig"].id
    assert by_name["Bee bush"].spot == by_name["Powder bush"].spot
    assert by_name["Lost peach"].ended_why
    assert by_name["Kitchen lemon"].container_litres
    assert by_name["Junie"].wanted_height_m == pytest.approx(2.438)  # 8 ft; NIST SP 811, appendix B.8
    assert "June peach" not in by_name
    assert len(kin(by_name["Junie"].id).merged_ids) == 1
    limbs = limbs_of(by_name["Three in one"].id)
    assert len({limb.cultivar for limb in limbs}) == 3
    assert [limb.name for limb in limbs if limb.code] == ["West limb"]
    told = [told.entry for told in story(by_name["Three in one"].id, 1000)]
    picked = {entry.details["limb"] for entry in told if entry.kind == "harvest" and "limb" in entry.details}
    assert picked == {limb.id for limb in limbs}


def test_the_lemon_lives_below_its_union_only(built: Path) -> None:
    lemon = next(plant for plant in plants() if plant.name == "Row lemon")
    damage = latest(lemon.id, "damage")
    assert damage is not None
    assert damage.details["lowest_living"] == "below"


def test_entries_were_made_when_somebody_walked(built: Path) -> None:
    zone = ZoneInfo(the_yard().timezone)
    for plant in plants():
        for told in story(plant.id, 1000):
            made = datetime.fromisoformat(told.entry.made_at)
            assert made.astimezone(zone).date() == told.entry.seen_on
            # RFC 9562, section 5.7: the first 48 bits of a UUIDv7 are milliseconds since 1970.
            stamp = int(told.entry.id.replace("-", "")[:12], 16)
            assert datetime.fromtimestamp(stamp / 1000, UTC) == made
            assert told.entry.id[14] == "7"


def test_the_same_seed_builds_the_same_yard(tmp_path: Path) -> None:
    built = []
    for name, seed in (("one", 1), ("again", 1), ("other", 2)):
        open_database(tmp_path / name, create=True)
        build(TODAY, origin=ORIGIN, make_code=make_code, seed=seed)
        built.append(sorted(everything()))
        close_database()
    assert built[0] == built[1]
    assert built[0] != built[2]


@pytest.mark.parametrize(
    "today",
    [date(2027, 1, 15), date(2027, 4, 15), date(2027, 7, 15), date(2027, 10, 15), date(2028, 2, 29)],
)
def test_it_makes_sense_on_any_day(folder: Path, today: date) -> None:
    build(today, origin=ORIGIN, make_code=make_code)
    assert faults() == []
    yard = the_yard()
    due = 0
    for plant in plants():
        view = load(plant, yard, today)
        assert view.status.headline.endswith(".")
        assert plant.state == "growing" or not view.due
        due += len(view.due)
    assert due >= 3


def test_a_yard_is_never_built_over(built: Path) -> None:
    before = (database_id(), count_entries())
    with pytest.raises(Conflict):
        build(TODAY, origin=ORIGIN, make_code=make_code)
    assert (database_id(), count_entries()) == before
