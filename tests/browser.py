"""The one place that knows which Chromium the tests drive, and how it is started.

``python -m tests.browser chromium``, and so with ``driver`` and ``zbar``, prints what was found or ends with 1.
"""

from __future__ import annotations

import ctypes.util
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Playwright

# Read from the environment first, so that a person can test another Chromium.
CHOSEN = "WALKABOUT_TEST_CHROMIUM"
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True, "locale": "en-US"}


def flags() -> list[str]:
    """Chromium's flags: no sandbox for root, which it refuses; no shared memory where it is small."""
    as_root = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
    return [*as_root, "--disable-dev-shm-usage", "--disable-gpu"]


def _starts(path: str) -> bool:
    # A snap's placeholder is a file that is there and does not start.
    try:
        asked = subprocess.run([path, "--version"], stdin=subprocess.DEVNULL, capture_output=True, timeout=60)
    except (OSError, subprocess.TimeoutExpired):
        return False
    return asked.returncode == 0


def chromium() -> str | None:
    """The path of a Chromium that starts, or None: chosen, of the system, of playwright."""
    if chosen := os.environ.get(CHOSEN):
        return chosen if _starts(chosen) else None
    for name in ("chromium", "chromium-browser", "google-chrome"):
        path = shutil.which(name)
        if path and _starts(path):
            return path
    from playwright.sync_api import sync_playwright  # slow; needed only where the system has none

    with sync_playwright() as playwright:
        own = playwright.chromium.executable_path
    return own if Path(own).is_file() and _starts(own) else None


def driver() -> str | None:
    """What playwright calls its driver, if that starts: a program of its own, which needs libatomic."""
    asked = subprocess.run(
        [sys.executable, "-m", "playwright", "--version"],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
    )
    return asked.stdout.strip() if asked.returncode == 0 else None


def zbar() -> str | None:
    """The zbar library, which the second reader of the tags needs."""
    return ctypes.util.find_library("zbar")


def launch(playwright: Playwright) -> Browser:
    """Start a headless Chromium."""
    return playwright.chromium.launch(executable_path=chromium(), args=flags())


def launch_profile(playwright: Playwright, folder: Path) -> BrowserContext:
    """Start a headless Chromium on a phone's screen whose storage lives in ``folder`` and outlasts it."""
    return playwright.chromium.launch_persistent_context(
        str(folder), executable_path=chromium(), args=flags(), **PHONE
    )


if __name__ == "__main__":
    answer = {"chromium": chromium, "driver": driver, "zbar": zbar}[sys.argv[1]]()
    print(answer or "")
    sys.exit(0 if answer else 1)
