from datetime import date

import pytest

from walkabout.entries.facts import KindFacts
from walkabout.entries.form import Posted
from walkabout.entries.kinds import from_post, headline, kind
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
