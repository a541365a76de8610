"""Changes the rules of judging one place at a time, and looks whether a test of the core notices: `make mutants`.

The files below are copied with the tests of the core into a tree of their own, without the program around them; there
mutmut makes each change, and forked.py runs the tests that reach it. A change that no test notices is a survivor. Each needs a
test, or a reason why nothing could notice it, in survivors.toml; without either this ends with status 1.

    python tests/mutants/run.py                 everything, from nothing
    python tests/mutants/run.py 'surveys.core.due*'    the mutants of these names again, after a test was added
"""

from __future__ import annotations

import fnmatch
import json
import os
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
TREE = ROOT / "build" / "mutants"
REASONS = HERE / "survivors.toml"

RULES = (
    "criteria", "adoption", "judging", "verdict", "measured", "outcomes", "traverse", "due", "status", "status_reasons", "life",
    "verdicts", "approval", "covered", "sash", "trial", "hood_figures", "hood_limits",
)  # fmt: skip
COPIED = (
    "surveys/__init__.py", "surveys/core", "surveys/words.py", "surveys/wording.py",
    "hoods/__init__.py", "hoods/core", "hoods/words.py",
    "tests/__init__.py", "tests/surveys/__init__.py", "tests/surveys/core", "tests/check_values",
    "tests/stories/__init__.py", *(f"tests/stories/{story.name}" for story in (ROOT / "tests/stories").glob("*.json")),
)  # fmt: skip
TESTS = ["tests/surveys/core", "tests/check_values"]
FIRST = "surveys.core.due.x_month_end__mutmut_1"  # mutmut makes every change and tries this one; forked.py the others
SETTINGS = f"""
[tool.pytest.ini_options]
addopts = "--import-mode=importlib -p no:cacheprovider -p no:xdist -p no:django"
pythonpath = ["."]
timeout = 30

[tool.mutmut]
source_paths = ["surveys", "hoods"]
only_mutate = {json.dumps([f"surveys/core/{rule}.py" for rule in RULES])}
pytest_add_cli_args_test_selection = {json.dumps(TESTS)}
pytest_add_cli_args = ["-p", "no:warnings"]
"""
# Sentences are formed by Django's translations, which want settings; laws are tried on the same examples each time.
CONFTEST = """
from django.conf import settings as django
from hypothesis import Phase, settings

if not django.configured:
    django.configure(USE_I18N=False)
phases = (Phase.explicit, Phase.generate)  # a change is noticed by the first example that fails, however large
settings.register_profile("mutants", derandomize=True, deadline=None, max_examples=25, database=None, phases=phases)
settings.load_profile("mutants")
"""
# Tests that make rows in a database stay behind, and the one that counts what slips of ten thousand keys do: it is slow.
NEEDS_THE_PROGRAM = re.compile(rb"^(?:from|import) (?:tests\.(?:surveying|making)|django\.(?:db|test))", re.MULTILINE)
KILLED = {1, 3, 36, 24, 152, 255, -24, -14, -11, -9}  # how mutmut notes that a test failed, or came to no end


class Mutant(NamedTuple):
    """A change that was made: in which function, which lines, and what they became."""

    function: str
    was: str
    becomes: str


def main(asked: list[str]) -> int:
    if not asked:
        shutil.rmtree(TREE, ignore_errors=True)
    plant()
    forget(asked)
    if subprocess.run(["mutmut", "run", FIRST], cwd=TREE, env=environment(), check=False).returncode:
        return 2
    forked = [sys.executable, str(HERE / "forked.py"), *TESTS]
    subprocess.run(forked, cwd=TREE / "mutants", env=environment(), check=False)
    names = list(survivors(asked))
    found = {mutant: name for name in names if (mutant := change(name))}
    told = reasons()
    bare = [mutant for mutant in found if mutant not in told]
    print(f"\n{tried(asked)} changes, {len(names)} that no test notices, {len(bare)} of them without a reason.")
    for mutant in bare:
        print(f"\n# {found[mutant]}\n{toml(mutant)}")
    if not asked:
        for mutant in told:
            if mutant not in found:
                print(f"\nA reason that nothing needs any more: {toml(mutant)}")
    return 1 if bare else 0


def environment() -> dict[str, str]:
    """Without the settings of the program, and with this Python's tools first."""
    kept = {name: value for name, value in os.environ.items() if name != "DJANGO_SETTINGS_MODULE"}
    return kept | {"PATH": f"{Path(sys.executable).parent}:{os.environ.get('PATH', '')}"}


def plant() -> None:
    """Copy what has changed since; what has not keeps its time, by which mutmut knows what it has tried."""
    planted = {TREE / "pyproject.toml": SETTINGS.encode(), TREE / "tests" / "conftest.py": CONFTEST.encode()}
    for name in COPIED:
        source = ROOT / name
        for path in sorted(source.rglob("*")) if source.is_dir() else [source]:
            if path.name == "test_key_slips.py":
                continue
            if path.is_file() and "__pycache__" not in path.parts and not NEEDS_THE_PROGRAM.search(path.read_bytes()):
                planted[TREE / path.relative_to(ROOT)] = path.read_bytes()
    for path, content in planted.items():
        put(path, content)
    for path in TREE.rglob("*.py"):  # what is no more, in the tree and in the copy that mutmut makes of it
        twin = TREE / path.relative_to(TREE / "mutants") if TREE / "mutants" in path.parents else path
        if twin not in planted:
            path.unlink()


def put(path: Path, content: bytes) -> None:
    if not path.exists() or path.read_bytes() != content:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


def outcomes(asked: list[str]) -> Iterator[tuple[str, int | None]]:
    for rule in RULES:
        kept = json.loads((TREE / f"mutants/surveys/core/{rule}.py.meta").read_text("utf-8"))
        for name, outcome in kept["exit_code_by_key"].items():
            if not asked or any(fnmatch.fnmatch(name, pattern) for pattern in asked):
                yield name, outcome


def forget(asked: list[str]) -> None:
    """Let what is asked for be tried again: mutmut tries what it has no outcome of."""
    if not asked:
        return
    (TREE / "mutants/mutmut-stats.json").unlink(missing_ok=True)  # which tests reach what: read anew
    for rule in RULES:
        file = TREE / f"mutants/surveys/core/{rule}.py.meta"
        if not file.exists():  # a rule that was not among them: changed anew
            file.with_suffix("").unlink(missing_ok=True)
            continue
        kept = json.loads(file.read_text("utf-8"))
        for name in kept["exit_code_by_key"]:
            if any(fnmatch.fnmatch(name, pattern) for pattern in asked):
                kept["exit_code_by_key"][name] = None
        file.write_text(json.dumps(kept, indent=4), "utf-8")


def survivors(asked: list[str]) -> Iterator[str]:
    return (name for name, outcome in outcomes(asked) if outcome not in KILLED)


def tried(asked: list[str]) -> int:
    return sum(1 for _ in outcomes(asked))


def change(name: str) -> Mutant | None:
    """What a mutant changes, read from the difference that mutmut shows."""
    shown = subprocess.run(
        ["mutmut", "show", name], cwd=TREE, env=environment(), capture_output=True, text=True, check=True
    )
    lines = [line for line in shown.stdout.splitlines() if not line.startswith(("---", "+++", "#"))]
    was, becomes = ("\n".join(line[1:].strip() for line in lines if line.startswith(sign)) for sign in "-+")
    function = name.rpartition("__mutmut_")[0].replace(".x_", ".").replace(".xǁ", ".").replace("ǁ", ".")
    return Mutant(function, was, becomes)


def reasons() -> dict[Mutant, str]:
    read = tomllib.loads(REASONS.read_text("utf-8")) if REASONS.exists() else {}
    return {
        Mutant(each["function"], each["was"], each["becomes"]): group["why"]
        for group in read.get("because", ())
        for each in group["mutants"]
    }


def toml(mutant: Mutant) -> str:
    """A mutant as it is written among the reasons."""
    given = ", ".join(f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in mutant._asdict().items())
    return f"{{ {given} }},"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
