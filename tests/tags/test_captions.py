"""Names set beside the symbol; sizes and order of giving way are this project's own choice, no source."""

from hypothesis import given
from hypothesis import strategies as st

from walkabout.tags import faces
from walkabout.tags.captions import Line, caption

WIDE, HIGH, SIZE = 28.0, 19.9, 4.2


def texts(found: list[Line]) -> list[str]:
    return [line.text for line in found]


def test_a_short_name_stands_above_its_cultivar_in_full_size() -> None:
    name, cultivar = caption("Old gate fig", "Brown Turkey", SIZE, WIDE, HIGH)
    assert (name.text, name.face, name.size) == ("Old gate fig", faces.NAME_FACE, SIZE)
    assert (cultivar.text, cultivar.face) == ("Brown Turkey", faces.TEXT_FACE)
    assert cultivar.drop > name.drop


def test_a_name_shrinks_a_little_to_stay_on_one_line() -> None:
    (name,) = caption("Row 3, tree 14", "", SIZE, WIDE, HIGH)
    assert SIZE * 0.9 <= name.size < SIZE


def test_a_longer_name_breaks_between_words() -> None:
    assert texts(caption("Espalier pear, east arm", "Comice", SIZE, WIDE, HIGH)) == [
        "Espalier pear,",
        "east arm",
        "Comice",
    ]


def test_a_word_that_is_too_long_is_split_and_nothing_lost() -> None:
    *name, _ = texts(caption("Donaudampfschifffahrtskapitänsbirne", "Comice", SIZE, WIDE, HIGH))
    assert len(name) > 1
    assert all(part.endswith("-") for part in name[:-1])
    assert "".join(part.removesuffix("-") for part in name) == "Donaudampfschifffahrtskapitänsbirne"


def test_what_is_still_too_long_ends_in_an_ellipsis() -> None:
    found = texts(caption("very " * 60, "old " * 60, SIZE, WIDE, HIGH))
    assert sum(line.endswith("…") for line in found) == 2
    assert found[-1].startswith("old")


def test_nothing_to_say_sets_nothing() -> None:
    assert caption("", "  ", SIZE, WIDE, HIGH) == []


@given(st.text(), st.text(), st.floats(10, 80), st.floats(8, 40))
def test_no_line_leaves_the_room(plant: str, cultivar: str, wide: float, high: float) -> None:
    drop = 0.0
    for line in caption(plant, cultivar, SIZE, wide, high):
        assert line.text
        assert faces.width(line.text, line.face, line.size) <= wide
        assert line.drop > drop
        drop = line.drop
        assert line.drop + line.size * faces.DESCENDER <= high


def test_a_name_of_megabytes_is_shortened_like_any_other() -> None:
    found = texts(caption("pear " * 2_000_000, "Comice", SIZE, WIDE, HIGH))
    assert found == texts(caption("pear " * 100, "Comice", SIZE, WIDE, HIGH))
    # Where there is room for more than is looked at, the ellipsis still says that something is left off.
    assert texts(caption("i" * 601, "", SIZE, 5_000.0, HIGH)) == ["i" * 600 + "…"]
