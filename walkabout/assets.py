"""Where the static files, templates and labels are, and which version of the program this is."""

import hashlib
from functools import cache
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent
_CHECKOUT = _PACKAGE.parent
# The question is "is pyproject.toml beside me?", not "does _assets exist?": a stray empty _assets in a
# checkout must not hide the real folders.
ROOT = _CHECKOUT if (_CHECKOUT / "pyproject.toml").is_file() else _PACKAGE / "_assets"
STATIC = ROOT / "static"
TEMPLATES = ROOT / "templates"
LABELS = ROOT / "labels"

_PROGRAM_SUFFIXES = {".py", ".toml", ".html", ".js", ".css", ".svg", ".png", ".ico", ".md", ".json", ".txt"}


def _files(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file() and path.suffix in _PROGRAM_SUFFIXES)


@cache
def asset_paths() -> tuple[str, ...]:
    """Every static file as a path relative to the static folder, with forward slashes."""
    return tuple(path.relative_to(STATIC).as_posix() for path in _files(STATIC))


@cache
def program_version() -> str:
    """Twelve hexadecimal digits that change whenever any file of the program does.

    Pages kept on a phone belong to one program version, so the package and the templates count as
    well as the static files.
    """
    digest = hashlib.sha256()
    for folder in (_PACKAGE, STATIC, TEMPLATES):
        for path in _files(folder):
            if "_assets" in path.relative_to(folder).parts:
                continue
            digest.update(path.relative_to(folder).as_posix().encode())
            digest.update(path.read_bytes())
    return digest.hexdigest()[:12]
