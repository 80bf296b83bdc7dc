"""Stage codes against the published scales that look.toml names."""

import pytest

from walkabout.reference import stages
from walkabout.reference.crops import crops
from walkabout.reference.tables import TableError

# Meier, U. (ed.) 2001, BBCH Monograph, 2nd edition, pome fruit and stone fruit, as repeated in open reference pages.
POME = {
    "crop/53": "bud burst: green leaf tips enclosing flowers visible",
    "crop/54": "mouse-ear stage: green leaf tips 10 mm above bud scales",
    "crop/57": "pink bud stage: petals just visible",
    "crop/59": "most flowers with petals forming a hollow ball",
    "crop/65": "full flowering: at least 50 % of flowers open, first petals falling",
    "crop/67": "flowers fading: majority of petals fallen",
}
APPLE_WORDS = {
    "crop/53": "Green tip",
    "crop/54": "Half-inch green",
    "crop/57": "First pink",
    "crop/59": "Full pink",
    "crop/65": "Full bloom",
    "crop/67": "Petal fall",
}
# Folia Horticulturae 2023, fhort-2023-0028, table of Ficus carica: 09 beginning of bud break, 11 separation of
# leaves, 51 emergence of the reproductive bud from the shoot, 75 syconium at half of its size, 87 ripe for picking.
FIG_WORDS = {
    "leaf/9": "Bud break",
    "leaf/11": "Leaves separate",
    "main/51": "Main crop knobs",
    "main/87": "Main crop ripe",
}


def test_every_row_loads() -> None:
    stages.check_stages()
    assert sum(len(stages.stages_of(crop)) for crop in crops()) == 630


@pytest.mark.parametrize("code", POME)
def test_apple_codes(code: str) -> None:
    assert stages.stage_words("apple", code) == APPLE_WORDS[code]


@pytest.mark.parametrize("code", FIG_WORDS)
def test_fig_codes(code: str) -> None:
    assert stages.stage_words("fig", code) == FIG_WORDS[code]


@pytest.mark.parametrize("crop", crops())
def test_full_bloom_is_65_wherever_it_stands(crop: str) -> None:
    # 65 = full flowering in the general scale (Hack et al. 1992) and in each scale made from it.
    full = [stage for stage in stages.stages_of(crop) if stage.key == "full_bloom"]
    assert {stage.bbch for stage in full} <= {65}
    assert full or crop in ("fig", "banana")  # the fig flowers inside its knob; a banana opens hand by hand


@pytest.mark.parametrize("crop", crops())
def test_phases_keep_to_the_principal_stages(crop: str) -> None:
    # BBCH principal stages: 0 and 5 buds, 6 flowering, 7 fruit growth, 8 ripening, 9 end. Colour before the first
    # open flower (57, 59) is told as bloom by this table.
    allowed = {"bloom": range(56, 70), "set": range(71, 74), "ripening": range(81, 90), "fall": range(93, 98)}
    for stage in stages.stages_of(crop):
        if stage.phase in allowed:
            assert stage.bbch in allowed[stage.phase], stage


def test_flowering_stages_of_known_and_unknown_crops() -> None:
    assert {stage.phase for stage in stages.flowering_stages("apple")} == {"bud", "bloom"}
    assert [stage.code for stage in stages.flowering_stages("medlar")][-3:] == [
        "crop/65",
        "crop/67",
        "crop/69",
    ]


def test_next_stage_stays_in_its_track() -> None:
    assert stages.next_stage("apple", "crop/65").code == "crop/67"
    assert stages.next_stage("peach", "crop/67").code == "crop/71"  # leafing stands between them in time
    assert stages.next_stage("apple", "leaf/97") is None
    assert stages.next_stage("apple", "crop/99") is None
    assert stages.next_stage("medlar", "crop/65").code == "crop/67"


def test_words_for_codes_of_another_crop_and_of_none() -> None:
    assert stages.stage_words("apple", "breba/87") == "Brebas ripe"
    assert stages.stage_words("apple", "crop/98") == "98"
    assert not stages.known_code("crop/98")
    assert stages.known_code("breba/87")


def test_a_falling_code_is_refused_with_its_row() -> None:
    rows = [
        {"key": "a", "name": "A", "track": "crop", "phase": "bud", "bbch": 55, "see": "x", "basis": "read"},
        {"key": "b", "name": "B", "track": "crop", "phase": "bud", "bbch": 51, "see": "x", "basis": "read"},
    ]
    with pytest.raises(
        TableError, match=r"look.toml crop fig stage b: code 51 does not rise in track 'crop'"
    ):
        list(stages._read("fig", rows, "look.toml crop fig"))
