"""The yard, its addresses, what was refused, and whether the folder is sound."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cast import set_up_yard
from walkabout.errors import Conflict, YardMissing
from walkabout.records import entries, models, refusals, soundness, yards
from walkabout.records.database import database
from walkabout.records.people import Person
from walkabout.records.yards import FrostDate


def test_a_yard_is_set_up_once(yard: Path) -> None:
    with pytest.raises(Conflict, match="already"):
        set_up_yard()
    assert models.Yard.select().count() == 1


def test_an_empty_folder_has_no_yard(folder: Path) -> None:
    with pytest.raises(YardMissing, match="init"):
        yards.the_yard()
    with pytest.raises(YardMissing):
        yards.secret_key()


@pytest.mark.parametrize("frost", [FrostDate(3, 9), FrostDate(11, 30, about=True)])
def test_a_frost_date_is_read_as_it_was_written(frost: FrostDate) -> None:
    assert FrostDate.read(str(frost)) == frost


def test_what_is_not_known_stays_not_known(folder: Path) -> None:
    made = yards.create_yard(
        name="Y",
        latitude=-33,
        longitude=151,
        timezone="Australia/Sydney",
        units="metric",
        origin="http://localhost",
    )
    assert (made.last_frost, made.first_frost, made.frost_free) == (None, None, False)
    assert yards.the_yard() == made


def test_addresses_are_kept_in_order_and_once(yard: Path) -> None:
    first = yards.origins()
    yards.add_origin("https://orchard.example")
    yards.add_origin("https://orchard.example")
    assert yards.origins() == (*first, "https://orchard.example")


def test_refused_texts_are_kept_once_each_and_no_more_than_a_thousand(members: tuple[Person, Person]) -> None:
    refusals.keep_refusals([("too large", "x" * 100_000)] * 3, members[0].id)
    assert [len(refusal.raw) for refusal in refusals.refusals()] == [refusals.LONGEST_RAW]
    refusals.keep_refusals([("odd", str(number)) for number in range(1100)], None)
    kept = refusals.refusals()
    assert len(kept) == refusals.MOST_KEPT
    assert (kept[0].raw, kept[-1].raw) == ("1099", "100")


def test_a_sound_folder_has_no_faults(members: object, make_entry: Callable[..., entries.NewEntry]) -> None:
    entries.keep_entries([make_entry("a"), make_entry("b", replaces="a")])
    assert soundness.faults() == []


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        ("UPDATE standing SET corrections = 5", "what stands does not agree"),
        ("DELETE FROM change WHERE record = 'entry'", "never numbered"),
        ("DELETE FROM plant", "names something in plant that is not there"),
        ("DROP TRIGGER entry_is_never_updated; UPDATE entry SET details = 'x'", "details cannot be read"),
    ],
)
def test_each_fault_is_found(
    members: object, make_entry: Callable[..., entries.NewEntry], damage: str, said: str
) -> None:
    entries.keep_entries([make_entry("a")])
    database.execute_sql("PRAGMA foreign_keys = 0")
    for statement in damage.split(";"):
        database.execute_sql(statement)
    assert any(said in fault for fault in soundness.faults())
