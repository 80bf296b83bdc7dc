"""The partials of the kinds under Flask's Jinja, autoescaping on."""

import gzip
import re
from collections.abc import Iterator
from datetime import date
from html.parser import HTMLParser

import pytest
from flask import Flask, render_template
from flask_babel import Babel

from walkabout.assets import TEMPLATES
from walkabout.entries.facts import KindFacts
from walkabout.entries.fields import ConvertedField
from walkabout.entries.form import Posted
from walkabout.entries.kinds import KINDS, kind

NASTY = '<script>alert("x")</script>'
TASK = "0b1f6f3e-6a60-4a63-9f0e-8f3c5a0e7a11"
CITRUS = KindFacts("mandarin", True, "us", date(2026, 1, 14), warm=True, tasks=((TASK, NASTY),))
FIG = KindFacts("fig", False, "metric", date(2026, 1, 14))
ON_PLANTS = [key for key, one in KINDS.items() if one.on_plants]


class Marks(HTMLParser):
    """Collects the elements of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.found if name == tag]


@pytest.fixture(autouse=True)
def request_context() -> Iterator[None]:
    app = Flask("partials", template_folder=str(TEMPLATES))
    Babel(app)
    with app.test_request_context():
        yield


@pytest.mark.parametrize("key", ON_PLANTS)
@pytest.mark.parametrize("facts", [CITRUS, FIG], ids=["citrus", "fig"])
def test_draws_every_field_with_a_label(key: str, facts: KindFacts) -> None:
    form = kind(key).draw(facts)
    page = render_template(kind(key).template, form=form, at="here")
    marks = Marks(page)
    ids = [attributes["id"] for _, attributes in marks.found if attributes.get("id")]
    assert len(ids) == len(set(ids))
    assert all(name and name.startswith("here-") for name in ids)
    labels = {attributes.get("for") for attributes in marks.all("label")}
    for attributes in marks.all("input") + marks.all("textarea"):
        if attributes.get("type") not in ("radio", "checkbox"):  # the label of these lies around them
            assert attributes["id"] in labels
    assert page.count("<legend>") == page.count("<fieldset")
    assert not re.search(r"<script|<style|\sstyle=|\son\w+=", page)
    names = {attributes["name"] for tag in ("input", "textarea", "select") for attributes in marks.all(tag)}
    converted = [field for field in form if isinstance(field, ConvertedField)]
    other_units = {field.kept_as if facts.units == "us" else field.name for field in converted}
    left_out = {"task"} if not facts.tasks else set()
    left_out |= {name for name in ("track", "bloom_year") if name in form and not form[name].choices}
    left_out |= {"girth_above"} if facts.grafted is False else set()
    left_out |= {"photos", "limb"}  # the same for all kinds; the page draws them
    assert names == {field.name for field in form} - other_units - left_out


def test_words_of_people_are_escaped() -> None:
    page = render_template(kind("done").template, form=kind("done").draw(CITRUS), at="a")
    assert NASTY not in page
    assert "&lt;script&gt;" in page
    form = kind("note").draw(CITRUS, {"words": NASTY + "</textarea>"})
    page = render_template(kind("note").template, form=form, at="a")
    assert "<script" not in page
    assert page.count("</textarea>") == 1


@pytest.mark.parametrize("key", ON_PLANTS)
def test_a_fault_is_told_at_its_field(key: str) -> None:
    posted = Posted({"happened_on": ["soon"], "weight_lb": ["much"], "stage": ["x"], "problem": ["x"]})
    form = kind(key).posted(posted, CITRUS)
    assert not form.validate()
    page = render_template(kind(key).template, form=form, at="b")
    marks = Marks(page)
    told = {attributes["id"] for attributes in marks.all("p") if attributes.get("class") == "error"}
    described = {attributes.get("aria-describedby") for _, attributes in marks.found} - {None}
    assert told
    assert told == described


def test_pages_stay_small() -> None:
    # 500 pages are carried to a phone, compressed: the forms of one plant stay under 6 KB of them.
    for facts in (CITRUS, FIG):
        drawn = [render_template(kind(key).template, form=kind(key).draw(facts), at=key) for key in ON_PLANTS]
        assert len(gzip.compress("".join(drawn).encode())) < 6_000


def taps(page: str) -> dict[str, set[str | None]]:
    """Values that can be pressed without opening anything, by field."""
    in_sight = re.sub(r"<details>.*?</details>", "", page, flags=re.DOTALL)
    found: dict[str, set[str | None]] = {}
    for attributes in Marks(in_sight).all("input"):
        found.setdefault(str(attributes["name"]), set()).add(attributes.get("value"))
    return found


@pytest.mark.parametrize("month", range(1, 13))
def test_what_must_be_near_is_near(month: int) -> None:
    """One press opens the panel, one keeps it; between them stand the presses checked here."""
    facts = KindFacts("mandarin", True, "us", date(2026, month, 28))
    bloom = kind("bloom").draw(facts)
    assert bloom.stage.data == "crop/65"  # full bloom: 2
    assert (
        "citrus_leafminer"
        in taps(render_template("entries/_pest.html", form=kind("pest").draw(facts), at="a"))["problem"]
    )
    damage = taps(render_template("entries/_damage.html", form=kind("damage").draw(facts), at="a"))
    assert "frost" in damage["cause"]  # dieback: 5
    assert "1" in damage["nights_ago"]
    assert {"above", "at", "below", "too_early"} <= damage["lowest_living"]
