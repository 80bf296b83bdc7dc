"""The names of training forms (trade names, common practice, no source)."""

import pytest

from walkabout.reference.training import find_training, training_name, trainings


@pytest.mark.parametrize(
    ("written", "key"),
    [
        ("Open center", "open_centre"),
        ("open_centre", "open_centre"),
        ("Multi-trunk", "multi_trunk"),
        ("  FAN   trained", "fan"),
        ("step-over", "cordon"),
        ("my own way", None),
        ("", None),
    ],
)
def test_a_form_is_known_by_the_names_that_growers_write(written: str, key: str | None) -> None:
    assert find_training(written) == key


def test_every_name_of_the_table_leads_to_one_form_and_back() -> None:
    assert len(trainings()) == len(set(trainings().values()))
    for key, name in trainings().items():
        assert find_training(name) == find_training(key) == key
        assert training_name(key) == name
    assert training_name("my own way") == "my own way"
