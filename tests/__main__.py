"""Bring what the tests need, then run them: ``python3 -m tests``.

Only the standard library is used here, because this runs before anything is installed.

    python3 -m tests                  everything
    python3 -m tests -k tag           what pytest's -k selects; all other options go to pytest too
    python3 -m tests --full           everything, with the larger counts
    python3 -m tests --bench          the benchmarks: ratios are printed, nothing is judged
    python3 -m tests --no-install     trust the environment as it is

Nothing is ever skipped for want of a browser or a library: it is installed, or the run stops with a list
of what to install.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parent.parent
OLDEST_PYTHON = (3, 11)
# Debian's names. Fonts, because a page without one has no text width to measure.
SYSTEM_PACKAGES = ("chromium", "libatomic1", "libzbar0", "fonts-dejavu-core")
# A test that hangs inside the browser's own loop cannot be woken by a signal; its process is ended, and the run goes on.
ON_MANY_CORES = ("--numprocesses", "2", "--dist", "worksteal", "-o", "timeout_method=thread")


class CannotPrepareError(Exception):
    """Something is missing that this program could not install; the message lists it."""


def say(text: str) -> None:
    """Print one line at once, so that it stands before the output of what it announces."""
    print(f"tests: {text}", file=sys.stderr, flush=True)


def run(*command: str | Path, quiet: bool = False) -> bool:
    """Run a command without a keyboard; true when it ended well."""
    output = subprocess.DEVNULL if quiet else None
    try:
        done = subprocess.run(
            [str(part) for part in command],
            cwd=CHECKOUT,
            stdin=subprocess.DEVNULL,
            stdout=output,
            stderr=output,
        )
    except OSError:
        return False
    return done.returncode == 0


def apt_get() -> tuple[str, ...] | None:
    """The words that run apt-get with rights to install, or None where that cannot be."""
    if shutil.which("apt-get") is None:
        return None
    quietly = ("env", "DEBIAN_FRONTEND=noninteractive", "apt-get")
    if os.geteuid() == 0:
        return quietly
    if shutil.which("sudo") and run("sudo", "-n", "true", quiet=True):
        return ("sudo", "-n", *quietly)
    return None


def install_system_packages(*packages: str) -> bool:
    """Install Debian packages when this person may; false when that is not possible or failed."""
    apt = apt_get()
    if apt is None:
        return False
    say(f"installing {' '.join(packages)} with apt-get")
    run(*apt, "update", "-qq")
    return run(*apt, "install", "-y", "-qq", "--no-install-recommends", *packages)


def environment() -> Path:
    """The Python of the environment the tests run in: the running one if it is one, else ``.venv``."""
    if sys.prefix != sys.base_prefix and run(sys.executable, "-m", "pip", "--version", quiet=True):
        return Path(sys.executable)
    folder = CHECKOUT / ".venv"
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    if run(python, "-m", "pip", "--version", quiet=True):
        return python
    say(f"making the environment {folder.name}")
    # --clear, because a folder that is there without a working pip was left half made.
    if run(sys.executable, "-m", "venv", "--clear", folder, quiet=True):
        return python
    numbered = f"python{sys.version_info.major}.{sys.version_info.minor}-venv"
    for package in ("python3-venv", numbered):
        if install_system_packages(package) and run(sys.executable, "-m", "venv", "--clear", folder):
            return python
    raise CannotPrepareError(f"Python's venv module (Debian, Ubuntu: the package {numbered})")


def install_project(python: Path) -> None:
    """Install the project, editable, with all that its tests use, when pyproject.toml changed."""
    wanted = hashlib.sha256((CHECKOUT / "pyproject.toml").read_bytes()).hexdigest()
    place = subprocess.run(
        [str(python), "-c", "import sys; print(sys.prefix)"], capture_output=True, text=True, check=True
    )
    # One stamp for each checkout that shares the environment.
    whose = hashlib.sha256(str(CHECKOUT).encode()).hexdigest()[:12]
    stamp = Path(place.stdout.strip()) / f".walkabout-tests-{whose}"
    # A plain "pip install ." since then would have put a copy of the code in the place of the checkout.
    in_place = f"import pytest, walkabout; assert walkabout.__file__.startswith({str(CHECKOUT)!r})"
    if stamp.is_file() and stamp.read_text() == wanted and run(python, "-I", "-c", in_place, quiet=True):
        return
    say("installing the project and its test tools")
    pip = (python, "-m", "pip", "--disable-pip-version-check", "install", "--quiet")
    if not run(*pip, "--editable", f"{CHECKOUT}[test]"):
        raise CannotPrepareError(
            'the project with its test tools: pip install --editable ".[test]" did not work'
        )
    stamp.write_text(wanted)


def found(python: Path, what: str) -> str | None:
    """Ask ``tests.browser`` in the test environment for a path; None when it has none."""
    asked = subprocess.run(
        [str(python), "-m", "tests.browser", what],
        cwd=CHECKOUT,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
    )
    return asked.stdout.strip() or None if asked.returncode == 0 else None


def bring_browser(python: Path) -> None:
    """Make sure that a Chromium and its driver start, and that the zbar library is here."""

    def missing() -> list[str]:
        return [what for what in ("driver", "chromium", "zbar") if found(python, what) is None]

    if missing():
        install_system_packages(*SYSTEM_PACKAGES)
    if "chromium" in missing():
        say("fetching Chromium with playwright")
        run(python, "-m", "playwright", "install", "chromium")
        if "chromium" in missing() and apt_get() is not None:
            run(python, "-m", "playwright", "install-deps", "chromium")
    lines = {
        "driver": "what playwright's driver needs to start (Debian, Ubuntu: libatomic1)",
        "chromium": "Chromium (Debian: chromium; elsewhere: playwright install --with-deps chromium),"
        " or its path in WALKABOUT_TEST_CHROMIUM",
        "zbar": "the zbar library (Debian, Ubuntu: libzbar0; macOS: brew install zbar)",
    }
    if still := missing():
        raise CannotPrepareError("\n  ".join(lines[what] for what in still))


def tests_command(python: Path, words: Sequence[str]) -> list[str]:
    """The pytest command line for the words that were given to ``python -m tests``."""
    rest = [word for word in words if word != "--bench"]
    if "--bench" in words:
        return [str(python), "-m", "tests.bench", *rest]
    # A person who asks for a debugger or chooses the number of processes knows better.
    own_choice = {"--pdb", "--trace", "-n", "-s", "--numprocesses"}
    split = () if own_choice & set(rest) or (os.cpu_count() or 1) < 2 else ON_MANY_CORES
    places = () if any((CHECKOUT / word.split("::")[0]).exists() for word in rest) else ("tests",)
    return [str(python), "-m", "pytest", *split, *places, *rest]


def main(words: Sequence[str]) -> int:
    """Prepare, run, and give back the exit code of the tests."""
    if sys.version_info < OLDEST_PYTHON:
        say(
            f"Python {'.'.join(map(str, OLDEST_PYTHON))} or newer is needed; this is {sys.version.split()[0]}."
        )
        return 1
    try:
        if "--no-install" in words:
            python = Path(sys.executable)
        else:
            python = environment()
            install_project(python)
            bring_browser(python)
    except CannotPrepareError as problem:
        say(
            f"these are needed and could not be installed here:\n  {problem}\nInstall them and run this again."
        )
        return 1
    command = tests_command(python, [word for word in words if word != "--no-install"])
    return subprocess.run(command, cwd=CHECKOUT).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
