"""The files that conventions are held against."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
SCRIPTS = sorted((ROOT / "static").rglob("*.js"))
STYLES = sorted((ROOT / "static").rglob("*.css"))
DRAWINGS = sorted((ROOT / "static").rglob("*.svg"))


def name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()
