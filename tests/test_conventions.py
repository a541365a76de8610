"""Conventions that fail the build, each with a control that sees the breach: a convention that is not a test is a wish."""

from __future__ import annotations

import inspect
import re
import subprocess
from pathlib import Path

import pytest

from surveys.core.criteria import FIGURES
from surveys.core.messages import SENTENCES
from tests.files import ROOT, name

# Folders of one machine, and registries: written in two parts, so that this file does not name them itself
_MACHINE = re.compile(
    r"(?<![\w.$}/])/(?:" + "|".join(["wo" + "rk", "tm" + "p", "ho" + "me", "ro" + "ot", "Us" + "ers"]) + r")/"
)
_REGISTRY = re.compile(r"\b(?:files\.pyth" + r"onhosted\.org|py" + r"pi\.org|regis" + r"try\.npmjs\.org)\b")


def named_machines(source: str) -> list[str]:
    return _MACHINE.findall(source) + _REGISTRY.findall(source)


def committed() -> list[Path]:
    """What git keeps; what it ignores belongs to a machine and may name it."""
    try:
        done = subprocess.run(
            ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
            cwd=ROOT, capture_output=True, check=True,
        )  # fmt: skip
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("this copy is no git repository")
    return [ROOT / path for path in done.stdout.decode().split("\0") if path and (ROOT / path).is_file()]


def test_no_file_names_a_machine_or_a_registry() -> None:
    found = {}
    for path in committed():
        if path.suffix in (".png", ".pdf", ".ttf", ".ico", ".mo"):
            continue
        if named := named_machines(path.read_text(encoding="utf-8", errors="replace")):
            found[name(path)] = named
    assert found == {}


def test_a_machine_is_seen() -> None:
    assert named_machines("see /ho" + "me/somebody/notes")
    assert named_machines("index-url = https://py" + "pi.org/simple")
    assert not named_machines("/hoods/work/, $HOME/tmp/x, https://hoods.skua.example/home/")


# --- core ---------------------------------------------------------------------------------------------------------------


def unit_said(function) -> str | None:
    """The unit in brackets at the end of the first line of a docstring, or of its first paragraph."""
    first = (inspect.getdoc(function) or "").split("\n\n")[0].replace("\n", " ")
    match = re.search(r"\[([^\]]+)\]\.?$", first)
    return match and match[1]


@pytest.mark.parametrize("figure", FIGURES, ids=lambda figure: figure.code)
def test_every_figure_says_its_unit_source_and_definition(figure) -> None:
    assert unit_said(figure.function), "end the first line of its docstring with the unit, as in [ft/min]"
    assert figure.source, "cite it, or write: common practice, no source"
    assert figure.definition
    assert figure.formula


def test_a_missing_unit_is_seen() -> None:
    def spread() -> None:
        """The highest less the lowest."""

    def lowest() -> None:
        """The lowest [ft/min]."""

    assert unit_said(spread) is None
    assert unit_said(lowest) == "ft/min"


def why_not_sentence(sentence: str) -> str:
    """Why a sentence cannot be formed with values by name; nothing where it can."""
    names = re.findall(r"%\((\w+)\)s", sentence)
    try:
        sentence % dict.fromkeys(names, "x")
    except (TypeError, ValueError, KeyError) as refusal:
        return str(refusal)
    return ""


@pytest.mark.parametrize("code", SENTENCES)
def test_every_sentence_takes_its_values_by_name(code: str) -> None:
    assert why_not_sentence(SENTENCES[code]) == ""
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", code), "codes are lower-case words with hyphens, for ever"


def test_a_sentence_that_cannot_be_formed_is_seen() -> None:
    assert why_not_sentence("%(text)s is 20 % of %s")
    assert why_not_sentence("%(text)d")
    assert why_not_sentence("%(text)s is 20 %%") == ""


# --- size ---------------------------------------------------------------------------------------------------------------

MOST = 300  # lines of a module: beyond that it hides two nouns, and is split by noun
FOLDERS = ("config", "hoods", "surveys", "reports", "tests")
LONGER = {"core/messages.py": "one table of sentences, as long as it has sentences"}  # beside migrations, which are never changed


def too_long(folder: Path) -> dict[str, int]:
    sizes = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in folder.rglob("*.py")}
    found = {path.relative_to(folder).as_posix(): lines for path, lines in sizes.items() if "migrations" not in path.parts}
    return {name_: lines for name_, lines in found.items() if lines > MOST and name_ not in LONGER}


@pytest.mark.parametrize("folder", FOLDERS)
def test_modules_and_tests_are_small(folder: str) -> None:
    assert too_long(ROOT / folder) == {}, "it hides two nouns: split it by noun"


def test_a_module_that_is_too_long_is_seen(tmp_path: Path) -> None:
    for name_, lines in (("just.py", 300), ("long.py", 301), ("core/messages.py", 900), ("messages.py", 900)):
        (tmp_path / name_).parent.mkdir(exist_ok=True)
        (tmp_path / name_).write_text("pass\n" * lines, encoding="utf-8")
    assert too_long(tmp_path) == {"long.py": 301, "messages.py": 900}
