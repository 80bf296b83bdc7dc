"""Imports run downward only, and each tool stays in its room (DEVELOPERS.md, Layers)."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

from tests.house.source import CHECKOUT, imported, modules

# Rooms of libraries: who may import what. A library that is not named here may be imported anywhere.
ROOMS = {
    "peewee": ("walkabout/records/",),
    "playhouse": ("walkabout/records/",),
    "sqlite3": ("walkabout/records/",),
    "flask": ("walkabout/web/", "walkabout/cli/", "walkabout/app.py"),
    "flask_wtf": ("walkabout/web/", "walkabout/app.py"),
    "flask_limiter": ("walkabout/web/", "walkabout/app.py"),
    "reportlab": ("walkabout/tags/",),
    "qrcode": ("walkabout/tags/", "walkabout/cli/"),
    "click": ("walkabout/cli/",),
    "hypercorn": ("walkabout/cli/",),
}


def test_the_import_contracts_hold() -> None:
    told = subprocess.run(
        [str(Path(sys.executable).with_name("lint-imports")), "--no-cache"],
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
    )
    assert told.returncode == 0, told.stdout + told.stderr


def test_every_part_of_the_package_has_a_layer() -> None:
    settings = tomllib.loads((CHECKOUT / "pyproject.toml").read_text())["tool"]["importlinter"]
    layers = next(contract for contract in settings["contracts"] if contract["type"] == "layers")["layers"]
    with_layer = {name.strip().split(".")[1] for row in layers for name in row.split("|")}
    parts = {Path(path).parts[1].removesuffix(".py") for path, _ in modules()}
    assert parts - {"__init__"} == with_layer


def test_each_library_stays_in_its_room() -> None:
    strays = [
        f"{path} imports {library}"
        for path, tree in modules()
        for library in sorted(imported(tree) & ROOMS.keys())
        if not path.startswith(ROOMS[library])
    ]
    assert strays == []
