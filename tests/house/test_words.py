"""What is promised in words is so: two command lines, a document for every kind, no foreign hosts."""

from __future__ import annotations

import re

from tests.house.source import CHECKOUT, kept_under
from walkabout.entries.kinds import KINDS

# Names that are identifiers, not addresses that anything is fetched from.
NOT_FETCHED = re.compile(r"^https?://www\.w3\.org/(2000/svg|1999/xlink|1999/xhtml)")
ADDRESS = re.compile(r"(?:https?:)?//[A-Za-z0-9][A-Za-z0-9.-]*\.[A-Za-z]{2,}[^\s\"'<>)]*")
COMMENT = re.compile(r"/\*.*?\*/|^\s*(?://|\*).*$|<!--.*?-->|\{#.*?#\}", re.DOTALL | re.MULTILINE)


def test_the_readme_gives_two_lines_to_paste() -> None:
    readme = (CHECKOUT / "README.md").read_text(encoding="utf-8")
    lines = [
        line.strip()
        for block in re.findall(r"```\w*\n(.*?)```", readme, re.DOTALL)
        for line in block.splitlines()
    ]
    demo = [line for line in lines if re.search(r"\bwalkabout demo\b", line)]
    tests = [line for line in lines if re.search(r"python3? -m tests\s*$", line)]
    assert len(demo) >= 1, "no line that starts the demo"
    assert len(tests) >= 1, "no line that runs the tests"


def test_the_developers_guide_names_every_kind_and_layer() -> None:
    guide = (CHECKOUT / "DEVELOPERS.md").read_text(encoding="utf-8")
    parts = {path.name for path in (CHECKOUT / "walkabout").iterdir() if (path / "__init__.py").is_file()}
    assert {name for name in parts | set(KINDS) if f"`{name}" not in guide} == set()


def test_nothing_is_fetched_from_elsewhere() -> None:
    """The yard works without the internet, and no page tells others who reads it."""
    strays = {
        f"{path.relative_to(CHECKOUT)}: {address}"
        for folder in ("static", "templates")
        for path in kept_under(folder, ".js", ".css", ".html", ".svg", ".json", ".webmanifest")
        for address in ADDRESS.findall(COMMENT.sub("", path.read_text(encoding="utf-8")))
        if not NOT_FETCHED.match(address)
    }
    assert strays == set()


def test_no_test_is_skipped_or_expected_to_fail() -> None:
    """What a test needs is brought (tests/__main__.py); a test that does not run says nothing."""
    ways = re.compile(r"\b(?:pytest\.(?:skip|importorskip|xfail)|mark\.(?:skip|skipif|xfail))\b")
    strays = {
        path.relative_to(CHECKOUT).as_posix()
        for path in kept_under("tests", ".py")
        if path.name != "test_words.py" and ways.search(path.read_text(encoding="utf-8"))
    }
    assert strays == set()


def test_nothing_names_a_place_of_the_machine_it_was_written_on() -> None:
    strays = {
        f"{path.relative_to(CHECKOUT)}: {found[0]}"
        for folder in ("walkabout", "static", "templates", "labels", "tests")
        for path in kept_under(folder, ".py", ".js", ".css", ".html", ".toml", ".md")
        if path.name != "test_words.py"
        and (
            found := re.search(
                r"(?<![\w.])/(?:work|root|home)/\w+|/tmp/w\b", path.read_text(encoding="utf-8")
            )
        )
    }
    assert strays == set()
