"""Print all benchmarks: ``python -m tests --bench [--full] [name ...]``. No figure makes this fail."""

from __future__ import annotations

import importlib
import os
import platform
import sys
import tempfile
from datetime import UTC, datetime
from pathlib import Path

NAMES = ("plant_page", "yard_size", "push", "sheets", "first_visit", "keep_pages", "many", "photo")


def main(words: list[str]) -> int:
    """Run the named benchmarks, or all."""
    full = "--full" in words
    chosen = [word for word in words if word != "--full"] or list(NAMES)
    if unknown := set(chosen) - set(NAMES):
        print(f"There is no benchmark {', '.join(sorted(unknown))}. There are: {', '.join(NAMES)}.")
        return 1
    print(
        f"{datetime.now(UTC):%Y-%m-%d}, {platform.platform()}, {os.cpu_count()} cores, Python {platform.python_version()}"
    )
    for name in chosen:
        with tempfile.TemporaryDirectory(prefix="walkabout-bench-") as folder:
            print(f"\n{name}", flush=True)
            for figure in importlib.import_module(f"tests.bench.{name}").measured(
                Path(folder), scale=1, full=full
            ):
                print(f"  {figure}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
