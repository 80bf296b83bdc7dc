from datetime import date
from typing import Any

import pytest

from walkabout.entries.facts import KindFacts
from walkabout.entries.form import Posted
from walkabout.entries.kinds import check, from_post, headline, kind, subject
from walkabout.errors import BadInput

METRIC = KindFacts("apple", grafted=True, units="metric", today=date(2026, 9, 1))
US = KindFacts("apple", grafted=True, units="us", today=date(2026, 9, 1))


@pytest.mark.parametrize(
    ("written", "weight_kg"),
    [("3", 3), ("3.25", 3.25), ("3,25", 3.25), (".5", 0.5), ("0", 0), ("10000", 10000), (" 7 ", 7)],
)
def test_a_weight_is_read(written: str, weight_kg: float) -> None:
    assert from_post("harvest", Posted({"weight_kg": [written]}), METRIC) == {"weight_kg": weight_kg}


@pytest.mark.parametrize(
    "written", ["1,500", "1,500.5", "three", "1e3", "-1", "10001", "٣", "1.2.3", "0x10", "nan"]
)
def test_what_is_no_weight_is_refused(written: str) -> None:
    with pytest.raises(BadInput, match=r"Weight, kg: Write ") as refusal:
        from_post("harvest", Posted({"weight_kg": [written]}), METRIC)
    assert refusal.value.field == "weight_kg"


def test_a_refused_weight_stays_in_its_field() -> None:
    form = kind("harvest").posted(Posted({"weight_kg": ["three"]}), METRIC)
    assert not form.validate()
    assert form.weight.written == "three"
    assert [name for name, errors in form.errors.items() if errors] == ["weight_kg"]


def test_pounds_go_in_and_come_out() -> None:
    kept = from_post("harvest", Posted({"weight_lb": ["12.5"], "count": ["40"]}), US)
    assert kept == {
        "weight_kg": pytest.approx(5.669904625),
        "count": 40,
    }  # NIST SP 811, B.8: 0.45359237 kg/lb
    assert headline("harvest", kept, US) == "Picked 12.5 lb, 40 fruits"
    assert headline("harvest", kept, METRIC) == "Picked 5.67 kg, 40 fruits"
    assert kind("harvest").draw(US, kept).weight.written == "12.5"


FIG = KindFacts("fig", grafted=False, units="metric", today=date(2026, 7, 1))
SATSUMA = KindFacts("mandarin", grafted=True, units="us", today=date(2026, 12, 1))


@pytest.mark.parametrize(
    ("details", "words"),
    [
        ({"rough": "bowl"}, "Picked a bowlful"),
        ({"rough": "more", "track": "main"}, "Picked more than a bucketful, main crop"),
        ({"weight_kg": 2, "count": 12, "taste": "4"}, "Picked 2 kg, 12 fruits, taste 4 of 5"),
        ({"ripe": "not_yet"}, "Not ripe yet"),
        ({"rough": "few", "ripe": "just", "last_pick": "last"}, "Picked a few fruits, just ripe, last pick"),
        ({"lost": ["birds"]}, "Crop lost: birds"),
        ({"lost": ["birds", "rot"], "lost_share": "most"}, "Most of the crop lost: birds and rot"),
        ({"weight_kg": 0, "lost_share": "all"}, "Picked 0 kg, the whole crop lost"),
        ({"rough": "bucket", "bloom_year": "2025"}, "Picked a bucketful, bloom of 2025"),
    ],
)
def test_told(details: dict[str, Any], words: str) -> None:
    assert check("harvest", details, FIG) == details
    assert headline("harvest", details, FIG) == words


def test_a_harvest_of_an_older_phone_stays_good() -> None:
    # What the first version kept: weight, count or both.
    for details in ({"weight_kg": 3.5}, {"count": 4}, {"weight_kg": 3.5, "count": 4}):
        assert check("harvest", details, METRIC) == details
    assert kind("harvest").form_version == 1


def test_causes_are_kept_once_in_the_order_offered() -> None:
    assert check("harvest", {"lost": ["rot", "birds", "rot"]}, FIG) == {"lost": ["birds", "rot"]}


def test_two_crops_are_told_apart() -> None:
    # Breba and main crop of the fig; citrus may hang until the next bloom (common practice, no source).
    fig, satsuma = kind("harvest").draw(FIG), kind("harvest").draw(SATSUMA)
    assert [value for value, _ in fig.track.choices] == ["breba", "main"]
    assert fig.bloom_year.choices == ()
    assert [value for value, _ in satsuma.bloom_year.choices] == ["2026", "2025"]
    assert kind("harvest").draw(METRIC).bloom_year.choices == ()
    assert subject("harvest", {"count": 1, "track": "breba"}) == "breba"
    assert subject("harvest", {"count": 1, "bloom_year": "2025"}) == "2025"


def test_early_in_the_year_fruit_is_from_last_years_bloom() -> None:
    january = KindFacts("mandarin", grafted=True, units="us", today=date(2027, 1, 5))
    assert [value for value, _ in kind("harvest").draw(january).bloom_year.choices] == ["2026", "2027"]
    # A page kept since last year names the same blooms as one of today.
    assert check("harvest", {"count": 9, "bloom_year": "2025"}, january)["bloom_year"] == "2025"


def test_what_was_kept_is_written_in_the_units_of_the_yard() -> None:
    form = kind("harvest").draw(US)  # a page that corrects in place asks a form that nobody has filled
    assert form.written({"weight_kg": 5.669904625, "ripe": "just"}) == {"weight_lb": 12.5, "ripe": "just"}
    assert kind("harvest").draw(METRIC).written({"weight_kg": 2}) == {"weight_kg": 2}
