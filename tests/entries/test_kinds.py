"""Laws that hold for every kind: what is checked stays checked, post and JSON agree, junk is refused with a reason."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import NumberField, SeveralField, TapField, plain_number
from walkabout.entries.form import Posted
from walkabout.entries.kinds import KINDS, check, from_post, headline, kind, subject
from walkabout.entries.photos import PhotosField
from walkabout.errors import BadInput

TODAY = date(2026, 1, 14)
PHOTO = "a1" * 32
TASK = "0b1f6f3e-6a60-4a63-9f0e-8f3c5a0e7a11"
CITRUS = KindFacts("mandarin", grafted=True, units="us", today=TODAY, warm=True, tasks=((TASK, "Cut back"),))
FIG = KindFacts("fig", grafted=False, units="metric", today=TODAY)
MEDLAR = KindFacts("medlar <b>", grafted=None, units="metric", today=TODAY, southern=True)
FACTS = st.sampled_from([CITRUS, FIG, MEDLAR])
KEYS = st.sampled_from(sorted(KINDS))

GOOD: list[tuple[str, dict[str, Any], dict[str, Any], str]] = [
    ("bloom", {"stage": "crop/65", "share": "50-75"}, {}, "Full bloom, 50 to 75\u00a0% open"),
    ("bloom", {"stage": "none"}, {}, "No bloom yet"),
    (
        "pest",
        {"problem": "citrus_leafminer", "part": "young_leaves", "share": "10-25"},
        {},
        "Citrus leafminer, young leaves, 10 to 25\u00a0%",
    ),
    ("pest", {"problem": "citrus_leafminer", "seen": "none"}, {}, "Looked for Citrus leafminer, none seen"),
    ("pest", {"seen": "none"}, {}, "Looked for pests, none seen"),
    ("pest", {"problem": "other", "words": "Green stink bug", "part": "fruit"}, {}, "Green stink bug, fruit"),
    ("pest", {"problem": "other"}, {}, "A problem without a name"),
    ("pest", {"problem": "melanose", "words": "south side"}, {}, "Melanose, south side"),
    (
        "pest",
        {"problem": "other", "words": "stink bug", "seen": "none"},
        {},
        "Looked for stink bug, none seen",
    ),
    (
        "damage",
        {"cause": "frost", "nights_ago": "1", "lowest_living": "above"},
        {},
        "Frost, the night before, alive above the graft union",
    ),
    ("damage", {"cause": "hail", "happened_on": "2026-01-02"}, {}, "Hail, on 2 Jan 2026"),
    (
        "damage",
        {"cause": "frost", "dead_back_to_in": 40},
        {"dead_back_to_cm": 101.6},
        "Frost, dead back to 40 in",
    ),
    # 12.5 lb x 0.45359237 kg/lb (NIST SP 811, appendix B.8) = 5.669904625 kg
    ("harvest", {"weight_lb": 12.5, "count": 1}, {"weight_kg": 5.669904625}, "Picked 12.5 lb, 1 fruit"),
    ("harvest", {"count": 30}, {}, "Picked 30 fruits"),
    ("note", {"words": "Two lines,\nkept."}, {}, "Two lines,\nkept."),
    ("note", {"words": "Sooty", "photos": [PHOTO]}, {}, "Sooty"),
    ("note", {"photos": [PHOTO, "0" * 64]}, {}, "2 photos"),
    ("done", {"task": TASK, "words": "Cut back"}, {}, "Done: Cut back"),
    ("done", {"task": TASK}, {}, "Done: Cut back"),
    ("done", {"words": "Wrapped the trunk"}, {}, "Done: Wrapped the trunk"),
    ("withdrawal", {}, {}, "Taken back"),
]


@pytest.mark.parametrize(("key", "given_details", "instead", "words"), GOOD)
def test_kept_and_told(key: str, given_details: dict[str, Any], instead: dict[str, Any], words: str) -> None:
    kept = check(key, given_details, CITRUS)
    in_pounds_or_inches = {"weight_lb", "dead_back_to_in"} if instead else set()
    unchanged = {name: value for name, value in given_details.items() if name not in in_pounds_or_inches}
    wanted = unchanged | instead
    assert kept == {
        name: value if isinstance(value, list) else pytest.approx(value) for name, value in wanted.items()
    }
    assert headline(key, kept, CITRUS) == words
    assert isinstance(subject(key, kept), str)


SUBJECTS = [
    ("bloom", {"stage": "breba/51"}, "breba"),
    ("bloom", {"stage": "none"}, "none"),
    ("pest", {"problem": "citrus_leafminer", "seen": "none"}, "citrus_leafminer"),
    ("pest", {"seen": "none"}, "any"),
    ("pest", {"problem": "other", "words": "Stink Bug"}, "named:stink bug"),
    ("damage", {"cause": "frost"}, "frost"),
    ("harvest", {"count": 2}, ""),
    ("note", {"words": "x"}, ""),
    ("done", {"task": TASK}, TASK),
    ("done", {"words": "x"}, ""),
    ("withdrawal", {}, ""),
]


@pytest.mark.parametrize(("key", "details", "about"), SUBJECTS)
def test_subject(key: str, details: dict[str, Any], about: str) -> None:
    assert subject(key, check(key, details, CITRUS)) == about


REFUSED: list[tuple[str, object, str | None, str]] = [
    ("bloom", {}, "stage", "Choose one."),
    ("bloom", {"stage": "crop/66"}, "stage", "not one of the choices"),
    ("bloom", {"stage": 65}, "stage", "must be a text"),
    ("bloom", {"stage": "crop/65", "colour": "white"}, "colour", "There is no field “colour”"),
    ("bloom", ["crop/65"], None, "named fields"),
    ("bloom", None, None, "named fields"),
    ("pest", {}, "problem", "Choose the problem"),
    ("pest", {"problem": "turnip_fly"}, "problem", "not one of the choices"),
    ("pest", {"seen": "none", "share": ["10-25"]}, "share", "must be a text"),
    ("pest", {"problem": "other", "words": "x" * 201}, "words", "201 characters are too many"),
    ("pest", {"problem": "other", "words": "bug\u0000"}, "words", "cannot be printed"),
    ("damage", {"cause": "frost", "happened_on": "2026-01-16"}, "happened_on", "has not come yet"),
    ("damage", {"cause": "frost", "happened_on": "2026-02-30"}, "happened_on", "no such day"),
    ("damage", {"cause": "frost", "happened_on": "14.1.2026"}, "happened_on", "year-month-day"),
    ("damage", {"cause": "frost", "happened_on": "1026-01-02"}, "happened_on", "from 1900 on"),
    ("damage", {"cause": "frost", "dead_back_to_cm": -1}, "dead_back_to_cm", "from 0 to 3000"),
    ("damage", {"cause": "frost", "dead_back_to_cm": 1, "dead_back_to_in": 1}, "dead_back_to_in", "once"),
    ("harvest", {}, "rough", "Say how much was picked"),
    ("harvest", {"track": "breba"}, "rough", "Say how much was picked"),
    ("harvest", {"lost": "birds"}, "lost", "must be a short list of texts"),
    ("harvest", {"lost": ["gnomes"]}, "lost", "not one of the choices"),
    ("harvest", {"lost": ["birds", 5]}, "lost", "must be a text"),
    ("harvest", {"lost": ["birds"] * 51}, "lost", "must be a short list"),
    ("harvest", {"count": 1, "bloom_year": "last"}, "bloom_year", "not one of the choices"),
    ("harvest", {"count": 1, "track": "leaf"}, "track", "not one of the choices"),
    ("harvest", {"weight_kg": "12"}, "weight_kg", "must be a number"),
    ("harvest", {"weight_kg": True}, "weight_kg", "must be a number"),
    ("harvest", {"weight_kg": float("nan")}, "weight_kg", "out of bounds"),
    ("harvest", {"weight_kg": float("inf")}, "weight_kg", "out of bounds"),
    ("harvest", {"count": 10**5000}, "count", "out of bounds"),
    ("harvest", {"count": 1.5}, "count", "whole number"),
    ("harvest", {"weight_kg": 1, "weight_lb": 1}, "weight_lb", "once"),
    ("note", {"words": " \n "}, "words", "Write something"),
    ("note", {"photos": []}, "words", "Write something"),
    ("note", {"words": "x", "photos": [f"{n:064x}" for n in range(5)]}, "photos", "at most 4 photos"),
    ("note", {"words": "x", "photos": ["IMG_0001.jpg"]}, "photos", "not the name of a photo"),
    ("note", {"words": "x", "photos": [PHOTO.upper()]}, "photos", "not the name of a photo"),
    ("note", {"words": "x", "photos": PHOTO}, "photos", "short list of texts"),
    ("withdrawal", {"photos": [PHOTO]}, "photos", "There is no field “photos”"),
    ("note", {"words": "x" * 2001}, "words", "2001 characters are too many"),
    ("note", {"words": "x" * 10_000_000}, "words", "too long"),
    ("note", {"words": "\ud800"}, "words", "cannot be printed"),
    ("note", {"words": None}, "words", "must be a text"),
    ("done", {}, "words", "Choose what was done, or write it"),
    ("done", {"task": "the one"}, "task", "not one of the choices"),
    ("withdrawal", {"reason": "typed wrong"}, "reason", "There is no field “reason”"),
    ("feeling", {}, "kind", "There is no kind of entry “feeling”"),
    ([], {}, "kind", "There is no kind"),
]


@pytest.mark.parametrize(("key", "details", "field", "reason"), REFUSED)
def test_refused_with_a_reason(key: str, details: object, field: str | None, reason: str) -> None:
    with pytest.raises(BadInput) as refusal:
        check(key, details, CITRUS)
    assert refusal.value.field == field
    assert reason in refusal.value.message
    assert len(refusal.value.message) < 200
    assert "\n" not in refusal.value.message


def test_the_names_of_unknown_fields_are_shortened_and_printable() -> None:
    with pytest.raises(BadInput, match=r"There is no field") as refusal:
        check("note", {"\ud800" * 1000: 1}, CITRUS)
    refusal.value.message.encode()
    assert len(refusal.value.message) < 400


def answer(way: Callable[..., Any], *given_to_it: object) -> tuple[Any, str]:
    """What is kept, or None and the reason."""
    try:
        return way(*given_to_it), ""
    except BadInput as refusal:
        return None, refusal.message


@st.composite
def noted(
    draw: st.DrawFn, facts: KindFacts, keys: st.SearchStrategy[str] = KEYS
) -> tuple[str, dict[str, Any]]:
    """A kind with details, most of them right."""
    key = draw(keys)
    details: dict[str, Any] = {}
    for field in kind(key).draw(facts):
        values: st.SearchStrategy[Any]
        if isinstance(field, TapField):
            values = st.sampled_from([value for value, _ in field.choices] or [""])
        elif isinstance(field, PhotosField):
            values = st.lists(st.sampled_from(["0" * 64, "a1" * 32, "3", "A" * 64, "", "f" * 64]), max_size=6)
        elif isinstance(field, SeveralField):
            values = st.lists(st.sampled_from([value for value, _ in field.choices]), max_size=4)
        elif isinstance(field, NumberField):
            values = st.integers(0, 200) if field.whole else st.floats(0, 200, allow_subnormal=False)
        elif field.name == "happened_on":
            values = st.dates(date(2020, 1, 1), TODAY).map(date.isoformat)
        else:
            values = st.text(st.characters(exclude_categories=["Cs"]), max_size=60)
        value = draw(st.none() | values)
        if value is not None:
            details[field.name] = value
    return key, details


@given(st.data(), FACTS)
def test_checking_what_was_kept_gives_the_same(data: st.DataObject, facts: KindFacts) -> None:
    key, details = data.draw(noted(facts))
    try:
        kept = check(key, details, facts)
    except BadInput:
        return
    assert check(key, kept, facts) == kept
    assert headline(key, kept, facts)
    assert isinstance(subject(key, kept), str)


def as_posted(text: str) -> str:
    """A text as a browser posts it: every line end becomes CR LF (HTML, "constructing the entry list")."""
    return text.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\r\n")


@given(st.data(), FACTS)
def test_post_and_json_agree(data: st.DataObject, facts: KindFacts) -> None:
    key, details = data.draw(noted(facts))
    posted = Posted(
        {
            name: [
                as_posted(each) if isinstance(each, str) else plain_number(each)
                for each in (value if isinstance(value, list) else [value])
            ]
            for name, value in details.items()
        }
    )
    posted["csrf_token"] = ["other names are ignored"]
    assert answer(from_post, key, posted, facts) == answer(check, key, details, facts)


@given(st.data(), FACTS)
def test_a_check_that_was_used_before_is_as_good_as_a_new_one(data: st.DataObject, facts: KindFacts) -> None:
    """A ready check touches only the fields that were given, now or the time before."""
    key = data.draw(KEYS)
    ready = kind(key).checker(facts)
    for details in data.draw(st.lists(noted(facts, st.just(key)), min_size=2, max_size=4)):
        assert answer(ready, details[1]) == answer(check, key, details[1], facts)


@given(st.data(), FACTS)
def test_a_form_for_correcting_shows_what_was_kept(data: st.DataObject, facts: KindFacts) -> None:
    key, details = data.draw(noted(facts))
    try:
        kept = check(key, details, facts)
    except BadInput:
        return
    drawn = kind(key).draw(facts, kept)
    shown = {field.name: field.details_value for field in drawn if field.details_value is not None}
    again = check(key, shown, facts)
    assert again.keys() == kept.keys()
    for name, value in kept.items():  # heights are shown to 0.01 in
        assert again[name] == (value if isinstance(value, str | list) else pytest.approx(value, abs=0.03))


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(st.characters(), max_size=30),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text(st.characters(), max_size=12), inner, max_size=4)
    ),
    max_leaves=12,
)
FIELD_NAMES = sorted({field.name for one in KINDS.values() for field in one.draw(CITRUS)})


@given(KEYS | JSON, JSON | st.dictionaries(st.sampled_from(FIELD_NAMES), JSON), FACTS)
def test_junk_is_kept_whole_or_refused(key: object, details: object, facts: KindFacts) -> None:
    kept, reason = answer(check, key, details, facts)
    if kept is None:
        assert reason.strip().encode()  # can be written and sent
    else:
        assert check(key, kept, facts) == kept


def test_every_kind_is_whole() -> None:
    assert list(KINDS) == [
        "bloom",
        "fruit_set",
        "pest",
        "damage",
        "growth",
        "harvest",
        "done",
        "measured",
        "note",
        "withdrawal",
    ]
    for key, one in KINDS.items():
        assert one.key == key
        assert str(one.title)
        assert one.form_version >= 1
