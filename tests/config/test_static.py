"""Static files as they are served: a script and its modules go by names with a hash, each module by one name alone."""

from __future__ import annotations

import re
from pathlib import Path

from django.core.management import call_command

from config import static

IMPORTED = re.compile(r"""(?:from|import)\s*\(?\s*["'](\.[^"']+)["']""")
HASHED = re.compile(r"\.[0-9a-f]{12}\.js$")
ROOT = Path(__file__).resolve().parents[2]


def gathered(tmp_path: Path, settings, storage: str) -> list[Path]:
    """The program's own scripts as they are served."""
    settings.STATIC_ROOT = tmp_path
    settings.STORAGES = settings.STORAGES | {"staticfiles": {"BACKEND": storage}}
    call_command("collectstatic", interactive=False, verbosity=0)
    return [path for path in (tmp_path / "js").glob("*.js") if HASHED.search(path.name)]


def imports_of(scripts: list[Path]) -> list[tuple[Path, str]]:
    return [(script, name) for script in scripts for name in IMPORTED.findall(script.read_text(encoding="utf-8"))]


def test_every_module_is_imported_by_the_name_that_pages_load_it_by(tmp_path, settings):
    scripts = gathered(tmp_path, settings, "config.static.HashedStaticFiles")
    found = imports_of(scripts)
    assert len(found) >= len(imports_of([*ROOT.glob("static/js/*.js")])) > 10
    for script, name in found:
        assert HASHED.search(name), f"{script.name} imports {name}"
        assert (script.parent / name).exists()


def test_control_left_as_written_a_module_has_two_names(tmp_path, settings, monkeypatch):
    monkeypatch.setattr(static.HashedStaticFiles, "support_js_module_import_aggregation", False)
    scripts = gathered(tmp_path, settings, "config.static.HashedStaticFiles")
    assert any(not HASHED.search(name) for _script, name in imports_of(scripts))
