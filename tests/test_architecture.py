"""The layers of DEVELOPERS.md, held by reading the imports of every module."""

from __future__ import annotations

import ast
import sys
from dataclasses import dataclass
from fnmatch import fnmatch
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
APPS = ("hoods", "surveys", "reports")  # each may import those before it
STANDARD = set(sys.stdlib_module_names)


@dataclass(frozen=True)
class Layer:
    """Modules (globs of paths), and what they may import besides the standard library: project globs and packages."""

    name: str
    modules: tuple[str, ...]
    project: tuple[str, ...]
    packages: tuple[str, ...]


CORE = ("*/core", "*/core/*")
PDF = ("reports/pdf", "reports/pdf/*")  # as pure as core: values in, bytes out
FILES = ("reports/files", "reports/files/*", "hoods/inventory_file", "hoods/inventory_book")  # as pure as pdf: rows in, bytes out, and back
MODELS = ("*/models", "*/models/*")
WORDS = ("*/words", "*/wording")  # codes and messages as sentences: Django's translations and nothing else
LISTS = ("hoods/inventory_said", "hoods/inventory_kept", "hoods/inventory_changes", "hoods/inventory_openings", "hoods/inventory_ends")  # of hoods, from a file
EARLIER = ("surveys/earlier", "surveys/earlier_said", "surveys/earlier_results", "surveys/accepting")  # results from before this ledger
OF_SURVEYS = ("surveys/facts", "surveys/history", "surveys/standing", "surveys/assigned", "surveys/rejudging", "surveys/panels", "surveys/losing")
QUERIES = ("*/queries", "*/queries/*", "*/inventory", *OF_SURVEYS, *LISTS, *EARLIER)
ACTIONS = ("*/actions", "*/actions/*")
FORMS = ("*/forms", "*/forms/*")
SHELL = (
    "*/views",
    "*/views/*",
    "*/urls",
    "*/apps",
    "*/management",
    "*/management/*",
    "*/templatetags",
    "*/templatetags/*",
)

LAYERS = (
    Layer("core", CORE, CORE, ("pint", "rfc8785")),
    Layer("pdf", PDF, (*CORE, *PDF),
          ("reportlab", "segno", "font_source_sans_pro", "importlib_resources")),
    Layer("files", FILES, (*CORE, *FILES), ("openpyxl",)),
    Layer("words", WORDS, (*CORE, *WORDS), ("django.utils",)),
    Layer("models", MODELS, (*CORE, *MODELS), ("django",)),
    Layer("queries", QUERIES, (*CORE, *PDF, *WORDS, *MODELS, *QUERIES), ("django",)),
    Layer("actions", ACTIONS, (*CORE, *WORDS, *MODELS, *QUERIES, *ACTIONS), ("django",)),
    Layer("forms", FORMS, (*CORE, *WORDS, *MODELS, *QUERIES, *FORMS), ("django", "crispy_forms")),
    Layer("views and commands", SHELL, ("hoods/*", "surveys/*", "reports/*", "*/*", "config/access"),
          ("django", "allauth", "crispy_forms")),
)  # fmt: skip

# What no module of a layer may touch, although its packages hold it
BARRED = {
    "core": ("django", "time", "secrets"),
    "pdf": ("django", "time", "secrets"),
    "files": ("django", "time", "secrets"),
    "queries": ("django.http", "django.forms", "django.shortcuts"),
    "actions": ("django.http", "django.forms", "django.shortcuts"),
    "forms": ("django.http", "django.shortcuts"),
}
# The moment is an argument below the views
CLOCKS = {"now", "today", "utcnow", "localdate", "localtime"}
WITHOUT_CLOCK = ("core", "pdf", "files", "queries", "actions", "forms")


def modules() -> list[Path]:
    found = [path for app in APPS for path in (ROOT / app).rglob("*.py")]
    return sorted(path for path in found if "migrations" not in path.parts)


def dotted(path: Path) -> str:
    """hoods/actions/people.py and hoods/actions/__init__.py, as hoods/actions/people and hoods/actions."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return "/".join(parts[:-1] if parts[-1] == "__init__" else parts)


def matches(name: str, globs: tuple[str, ...]) -> bool:
    return any(fnmatch(name, glob) for glob in globs)


def layer_of(name: str) -> Layer | None:
    return next((layer for layer in LAYERS if matches(name, layer.modules)), None)


def imports(source: str) -> list[str]:
    """Every module that a source imports; `from a.b import c` names a.b, and a.b.c too where that is a module."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, "imports are written whole, never relative"
            base = node.module or ""
            inner = [f"{base}.{alias.name}" for alias in node.names if is_module(f"{base}.{alias.name}")]
            found += inner or [base]
    return found


def is_module(name: str) -> bool:
    place = ROOT / name.replace(".", "/")
    return name.split(".")[0] in (*APPS, "config") and (place.with_suffix(".py").exists() or place.is_dir())


def why_not(name: str, source: str) -> list[str]:
    """Sentences on everything that a module may not do where it stands."""
    layer = layer_of(name)
    if layer is None:
        return [] if name in APPS else [f"{name} belongs to no layer: put it where DEVELOPERS.md has a place for it"]
    refusals = [why_not_import(name, layer, imported) for imported in imports(source)]
    if layer.name in WITHOUT_CLOCK:
        refusals += [
            f"{name} reads the clock ({call}): take the day or moment as an argument" for call in clocks(source)
        ]
    return [refusal for refusal in refusals if refusal]


def why_not_import(name: str, layer: Layer, imported: str) -> str:
    top = imported.split(".")[0]
    if any(imported == barred or imported.startswith(f"{barred}.") for barred in BARRED.get(layer.name, ())):
        return f"{name} ({layer.name}) never imports {imported}"
    if top in STANDARD:
        return ""
    if top in (*APPS, "config", "tests"):
        return why_not_from_project(name, layer, imported.replace(".", "/"))
    if any(imported == package or imported.startswith(f"{package}.") for package in layer.packages):
        return ""
    return f"{name} ({layer.name}) may not import {imported}"


def why_not_from_project(name: str, layer: Layer, imported: str) -> str:
    own, other = name.split("/")[0], imported.split("/")[0]
    if other in APPS and APPS.index(other) > APPS.index(own):
        return f"{name} imports {imported}: {own} comes before {other}"
    if not matches(imported, layer.project):
        return f"{name} ({layer.name}) may not import {imported}"
    return ""


def clocks(source: str) -> list[str]:
    calls = [node.func for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call)]
    return [ast.unparse(call) for call in calls if isinstance(call, ast.Attribute) and call.attr in CLOCKS]


@pytest.mark.parametrize("path", modules(), ids=dotted)
def test_every_module_keeps_to_its_layer(path: Path):
    assert why_not(dotted(path), path.read_text()) == []


@pytest.mark.parametrize("path", modules(), ids=dotted)
def test_no_module_takes_what_another_keeps_to_itself(path: Path):
    private = [
        f"{node.module}.{alias.name}"
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] in (*APPS, "config")
        for alias in node.names
        if alias.name.startswith("_") and alias.name != "_"
    ]
    assert private == []


BREACHES = [
    # module                  source                                              what is said
    ("surveys/core/due", "import django.db", "never imports django.db"),
    ("surveys/core/due", "from surveys.models import Survey", "may not import surveys/models"),
    ("surveys/core/due", "from datetime import date\nprint(date.today())", "reads the clock"),
    ("surveys/core/due", "import numpy", "may not import numpy"),
    ("hoods/models/hood", "from hoods.actions import hood", "may not import hoods/actions/hood"),
    ("hoods/views/hood", "from surveys import queries", "hoods comes before surveys"),
    ("surveys/forms/criteria", "from surveys.actions import drafts", "may not import surveys/actions/drafts"),
    ("surveys/actions/drafts", "from django.http import HttpRequest", "never imports django.http"),
    ("reports/pdf/labels", "from reports.queries import labels", "may not import reports/queries"),
    ("reports/files/comma", "import reportlab", "may not import reportlab"),
    ("surveys/helpers", "", "belongs to no layer"),
]


@pytest.mark.parametrize(("name", "source", "said"), BREACHES, ids=[f"{breach[0]} {breach[2]}" for breach in BREACHES])
def test_a_breach_is_seen(name: str, source: str, said: str):
    assert said in " ".join(why_not(name, source))
