"""A wheel carries the pages, scripts and labels, and runs away from the checkout."""

from __future__ import annotations

import importlib.metadata
import re
import subprocess
import sys
import urllib.request
import venv
import zipfile
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from tests.house.source import CHECKOUT, kept_files
from tests.server import Server

ASSET_FOLDERS = ("static/", "templates/", "labels/")
NEVER = re.compile(r"__pycache__|\.pyc$|^tests/|/tests/")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built through the source archive, as a publisher does it."""
    out = tmp_path_factory.mktemp("dist")
    # No isolation: hatchling is one of the test tools, so this works without a network.
    told = subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(out), str(CHECKOUT)],
        capture_output=True,
        text=True,
    )
    assert told.returncode == 0, told.stdout + told.stderr
    return next(out.glob("*.whl"))


def test_the_wheel_holds_exactly_the_assets_of_the_checkout(wheel: Path) -> None:
    inside = "walkabout/_assets/"
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
    carried = {name.removeprefix(inside) for name in names if name.startswith(inside)}
    assert carried == {name for name in kept_files() if name.startswith(ASSET_FOLDERS)}
    package = {name for name in names if name.startswith("walkabout/") and not name.startswith(inside)}
    assert package == {name for name in kept_files() if name.startswith("walkabout/")}


def test_the_wheel_holds_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
    strange = [name for name in names if not re.match(r"walkabout/|walkabout-[^/]*\.dist-info/", name)]
    assert strange + [name for name in names if NEVER.search(name)] == []


def declared(distribution: str, seen: dict[str, importlib.metadata.Distribution]) -> None:
    """Add to ``seen`` all distributions that this one says it needs here, extras apart, down to the last."""
    for line in importlib.metadata.distribution(distribution).requires or ():
        needed = Requirement(line)
        if needed.marker is None or needed.marker.evaluate({"extra": ""}):
            name = needed.name.lower()
            if name not in seen:
                seen[name] = importlib.metadata.distribution(name)
                declared(name, seen)


@pytest.fixture(scope="module")
def away(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The Python of a new environment that holds the wheel and what the wheel says it needs, nothing more.

    The needed distributions are linked from the environment of the tests, so that no network is asked; one
    that pyproject.toml does not declare is not linked, and its import fails.
    """
    folder = tmp_path_factory.mktemp("away")
    venv.create(folder, with_pip=False)
    version = f"python{sys.version_info.major}.{sys.version_info.minor}"
    packages = folder / "lib" / version / "site-packages"
    subprocess.run(
        [
            sys.executable,
            "-m",
            "pip",
            "install",
            "--quiet",
            "--no-deps",
            "--no-index",
            "--target",
            packages,
            wheel,
        ],
        check=True,
    )
    needed: dict[str, importlib.metadata.Distribution] = {}
    declared("walkabout", needed)
    for distribution in needed.values():
        for top in {file.parts[0] for file in distribution.files or () if file.parts[0] not in ("..", "bin")}:
            if not (packages / top).exists() and top != "__pycache__":
                (packages / top).symlink_to(Path(str(distribution.locate_file(top))).resolve())
    return folder / "bin" / "python"


def test_an_installed_wheel_runs_away_from_the_checkout(away: Path, tmp_path: Path) -> None:
    def command(*words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [str(away), "-m", "walkabout", *words],
            cwd=tmp_path,
            env={"PATH": "/usr/bin:/bin", "WALKABOUT_DATA": str(tmp_path / "yard")},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
        )

    where = subprocess.run(
        [str(away), "-c", "import walkabout.assets as a; print(a.ROOT)"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
    )
    assert where.stdout.strip().endswith("walkabout/_assets"), where.stderr
    made = command(
        *("init", "--name", "Away", "--latitude", "-34.5", "--longitude", "138.7"),
        *("--timezone", "Australia/Adelaide", "--units", "metric", "--frost-free"),
        *("--origin", "http://127.0.0.1:8480", "--owner", "Ada", "--password", "a long enough password"),
    )
    assert made.returncode == 0, made.stdout + made.stderr
    checked = command("check")
    assert checked.returncode == 0, checked.stdout + checked.stderr
    server = Server(tmp_path / "yard", python=away, cwd=tmp_path).start()
    try:
        with urllib.request.urlopen(f"{server.origin}/sw.js") as worker:
            script = worker.read().decode()
        address = re.search(r"/static/\S+/worker\.js", script)
        assert address, script
        with urllib.request.urlopen(server.origin + address[0]) as file:
            assert file.read() == (CHECKOUT / "static" / "js" / "worker.js").read_bytes()
    finally:
        server.close()
