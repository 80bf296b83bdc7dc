import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkabout.reference import crops, tables
from walkabout.reference.crops import crop_name, find_crop


def test_every_crop_and_every_name_loads() -> None:
    assert len(crops.crops()) == 43
    assert all(keys for _, keys in crops.aliases())


@pytest.mark.parametrize(
    ("words", "key", "others"),
    [
        ("grape", "bunch_grape", ["muscadine"]),
        ("Satsuma", "mandarin", []),
        ("sweet orange", "sweet_orange", []),
        ("SWEET_ORANGE", "sweet_orange", []),
        ("Passion fruit", "passionfruit", []),
        ("peaches", "peach", []),
        ("Cherries", "sweet_cherry", ["sour_cherry"]),
        ("pear", "european_pear", ["asian_pear"]),
        ("Sour (tart) cherry", "sour_cherry", []),
        ("maracujá", "passionfruit", []),
    ],
)
def test_finds(words: str, key: str, others: list[str]) -> None:
    match = find_crop(words)
    assert match is not None
    assert match.crop.key == key
    assert [other.key for other in match.others] == others


@pytest.mark.parametrize(
    "words", ["quince", "", "  ", "___", "s", "mango", "citrus tree by the gate", "<b>fig</b>"]
)
def test_unknown_stays_unknown(words: str) -> None:
    assert find_crop(words) is None


def test_the_growers_own_word_is_shown_unchanged() -> None:
    assert crop_name("Medlar ") == "Medlar "
    assert crop_name("lime") == "Lime"


def test_each_crop_is_found_by_its_key_and_its_name() -> None:
    for crop in crops.crops().values():
        for words in (crop.key, crop.name, crop.short, crop.key.replace("_", " ").title()):
            assert find_crop(words).crop == crop


@given(st.text())
def test_any_text_is_a_match_or_none(words: str) -> None:
    match = find_crop(words)
    assert match is None or match.crop not in match.others


def test_evergreen_from_the_table() -> None:
    # Common knowledge of the trade, no source: citrus and olive keep their leaves, peach and fig do not.
    evergreen = {key for key, crop in crops.crops().items() if crop.evergreen}
    assert {"lemon", "olive", "avocado", "strawberry"} <= evergreen
    assert not {"peach", "fig", "apple", "muscadine"} & evergreen


def test_a_bad_row_names_its_file_and_row() -> None:
    with pytest.raises(tables.TableError, match=r"crops.toml crop fig: name must be a text, found 3"):
        tables.text({"name": 3}, "name", "crops.toml crop fig")
    with pytest.raises(tables.TableError, match=r"nowhere.toml: not in the reference folder"):
        tables.table("nowhere")


def test_every_family_has_crops_of_the_books_and_citrus_has_the_whole_genus() -> None:
    known = crops.crops()
    families = {family.key: set(family.crops) for family in crops.families()}
    assert all(members <= known.keys() for members in families.values())
    # Which crops are of the genus is what their botanical names in crops.toml say; kumquats as Citrus japonica are
    # from memory.
    assert families["citrus"] == {key for key, crop in known.items() if crop.botanical.startswith("Citrus")}
    assert families["stone_fruit"] == {
        key for key, crop in known.items() if crop.botanical.startswith("Prunus")
    }
