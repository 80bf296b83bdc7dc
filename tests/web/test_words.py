"""How pages say days, times and measures. Sources: NIST SP 811 appendix B.8 (foot, gallon); the rest is our own style."""

from datetime import UTC, date, datetime, timedelta

import pytest
from flask import Flask

from tests.cast import TODAY
from walkabout.web import words


@pytest.mark.parametrize(
    ("day", "said"),
    [
        (TODAY, "today"),
        (TODAY - timedelta(days=1), "yesterday"),
        (TODAY + timedelta(days=1), "tomorrow"),
        (date(2026, 11, 20), "Fri 20 Nov"),
        (date(2026, 2, 2), "Mon 2 Feb"),
        (date(2025, 11, 24), "24 Nov 2025"),
        ("2026-11-24", "today"),
        # 03:30 UTC is still the evening before in New York.
        (datetime(2026, 11, 25, 3, 30, tzinfo=UTC), "today"),
        ("2026-11-25T03:30:00.000Z", "today"),
    ],
)
def test_days(app: Flask, day: date | datetime | str, said: str) -> None:
    with app.test_request_context():
        assert words.day_words(day) == said


@pytest.mark.parametrize(
    ("planted", "about", "said"),
    [
        (None, False, "not known"),
        ("2021", False, "2021"),
        ("2021", True, "about 2021"),
        ("2021-03", False, "Mar 2021"),
        ("2021-03-14", True, "about 14 Mar 2021"),
    ],
)
def test_planting(app: Flask, planted: str | None, about: bool, said: str) -> None:
    with app.test_request_context():
        assert words.planted_words(planted, about=about) == said


@pytest.mark.parametrize(
    ("leaf", "said"),
    [
        (None, ""),
        (0, "not yet in its first leaf"),
        (1, "1st leaf"),
        (2, "2nd leaf"),
        (3, "3rd leaf"),
        (4, "4th leaf"),
        (11, "11th leaf"),
        (12, "12th leaf"),
        (23, "23rd leaf"),
    ],
)
def test_leaves(app: Flask, leaf: int | None, said: str) -> None:
    with app.test_request_context():
        assert words.leaf_words(leaf) == said


@pytest.mark.parametrize(
    ("opens", "closes", "said"),
    [
        (date(2026, 11, 1), date(2026, 12, 20), "by Sun 20 Dec"),
        (date(2026, 11, 1), TODAY, "by today"),
        (date(2026, 11, 1), date(2026, 11, 10), "was due by Tue 10 Nov"),
        (date(2026, 11, 1), None, "since Sun 1 Nov"),
        (date(2026, 12, 1), None, "from Tue 1 Dec"),
        (date(2026, 12, 1), date(2026, 12, 5), "Tue 1 Dec to Sat 5 Dec"),
    ],
)
def test_windows(app: Flask, opens: date, closes: date | None, said: str) -> None:
    with app.test_request_context():
        assert words.window_words(opens, closes) == said


def test_seasons_north_and_south(app: Flask) -> None:
    with app.test_request_context():
        assert words.season_words(date(2026, 3, 1)) == "2026 season"
        assert words.season_words(date(2026, 9, 1)) == "2026/27 season"
        assert words.season_words(date(1999, 9, 1)) == "1999/00 season"


def test_measures_go_there_and_back(app: Flask) -> None:
    with app.test_request_context():  # a yard with US units
        assert words.length_in_yard_units(0.3048) == pytest.approx(1)
        assert words.metres(words.length_in_yard_units(7.5)) == pytest.approx(7.5)
        assert words.volume_in_yard_units(3.785411784) == pytest.approx(1)
        assert words.litres(words.volume_in_yard_units(30.0)) == pytest.approx(30)
        assert words.litre_words(56.78) == "15 gal"
