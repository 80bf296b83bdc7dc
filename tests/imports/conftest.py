"""Lists as files, and plans made of them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.cast import TODAY
from walkabout.imports import entries, plants
from walkabout.imports.plan import Plan
from walkabout.imports.read import read_sheet
from walkabout.records.entries import NewEntry
from walkabout.records.plants import PlantFacts, folded
from walkabout.records.plants import plants as all_plants
from walkabout.records.spots import spots
from walkabout.records.tags import tags
from walkabout.records.yards import the_yard
from walkabout.tags.codes import read_code

PlanPlants = Callable[..., Plan[PlantFacts]]
PlanEntries = Callable[..., Plan[NewEntry]]


@pytest.fixture
def plan_plants(yard: Path, tmp_path: Path) -> PlanPlants:
    """Plans a list of plants, given as text, against the open yard."""

    def planned(text: str, **options: Any) -> Plan[PlantFacts]:
        path = tmp_path / "plants.csv"
        path.write_text(text, encoding="utf-8", newline="")
        sheet = read_sheet(path, most_lines=plants.MOST_LINES)
        known = plants.Known({folded(plant.name) for plant in all_plants()}, spots())
        return plants.plan_plants(sheet, known, TODAY, **options)

    return planned


@pytest.fixture
def plan_entries(yard: Path, members: Any, tmp_path: Path) -> PlanEntries:
    """Plans a list of entries, given as text, against the open yard."""

    def planned(text: str, **options: Any) -> Plan[NewEntry]:
        path = tmp_path / "entries.csv"
        path.write_text(text, encoding="utf-8", newline="")
        sheet = read_sheet(path, most_lines=entries.MOST_LINES)
        codes = {tag.code: tag.plant_id for tag in tags() if tag.plant_id is not None}
        known = entries.Known(the_yard(), all_plants(), codes, read_code, members[0].id)
        return entries.plan_entries(sheet, known, TODAY, **options)

    return planned
