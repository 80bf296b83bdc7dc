"""Which copies are kept. 7 days, 4 weeks, 12 months: common practice (grandfather, father, son), no source."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from walkabout.jobs.rotation import DAYS, MONTHS, WEEKS, kept_of

START = datetime(2024, 1, 1, 3, tzinfo=UTC)
MOMENTS = st.sets(
    st.integers(0, 2000).map(lambda hours: START + timedelta(hours=hours * 9)), min_size=1, max_size=120
)


def test_two_years_of_nights_leave_a_handful_that_reach_back_a_year() -> None:
    held: set[datetime] = set()
    for night in range(730):
        held = kept_of({*held, START + timedelta(days=night)})
    last = START + timedelta(days=729)  # Tue 30 Dec 2025
    assert len(held) <= DAYS + WEEKS + MONTHS
    assert {last - timedelta(days=ago) for ago in range(DAYS)} <= held
    # The newest Sundays are the last of their weeks.
    assert {datetime(2025, 12, day, 3, tzinfo=UTC) for day in (14, 21, 28)} <= held
    ends = {(datetime(2025, month + 1, 1, 3, tzinfo=UTC) - timedelta(days=1)) for month in range(1, 12)}
    assert ends <= held
    assert min(held) == datetime(2025, 1, 31, 3, tzinfo=UTC)


def test_a_machine_that_was_off_for_a_year_keeps_what_it_had() -> None:
    old = {START + timedelta(days=day) for day in range(3)}
    assert kept_of({*old, START + timedelta(days=400)}) == {*old, START + timedelta(days=400)}


@given(moments=MOMENTS)
def test_the_newest_always_stays_and_a_second_look_takes_nothing_more(moments: set[datetime]) -> None:
    kept = kept_of(moments)
    assert kept <= moments
    assert max(moments) in kept
    assert kept_of(kept) == kept
    assert len(kept) <= DAYS + WEEKS + MONTHS
