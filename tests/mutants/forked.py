"""Tries changes, each in a fork of one process that has collected the tests of the core once: run.py starts it.

To collect them anew for each change would take most of the time. What noticed the last change of a function is asked
first, then whatever is quick. Stands in the copy that mutmut made, beside its notes: which tests reach which function,
and one outcome a change (0: no test noticed; 1: one did; 33: no test reaches it; -14: it came to no end).
"""

from __future__ import annotations

import functools
import gc
import json
import os
import signal
import sys
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest
from _pytest.runner import runtestprotocol
from mutmut.mutation.trampoline import set_mutant_under_test

AT_ONCE, SECONDS = os.cpu_count() or 1, 300
UNNOTICED, NOTICED, UNREACHED = 0, 1, 33


class Trying:
    """Takes the place of pytest's own loop over the tests."""

    def __init__(self) -> None:
        notes = json.loads(Path("mutmut-stats.json").read_text("utf-8"))
        self.reaching, self.took = notes["tests_by_mangled_function_name"], notes["duration_by_test"]
        self.noticed: dict[str, list[str]] = defaultdict(list)  # by function: the tests that did, the last one first
        self.running: dict[int, tuple[Path, str, int]] = {}
        self.outcomes: dict[Path, dict[str, int]] = defaultdict(dict)

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        items = {item.nodeid: item for item in session.items}
        caches = list(_caches())
        gc.freeze()  # so that forks share what was collected
        for number, (file, name) in enumerate(_untried(), 1):
            if len(self.running) >= AT_ONCE:
                self.wait()
            here, there = os.pipe()
            if not (process := os.fork()):
                os._exit(self.outcome(name, items, caches, there))
            os.close(there)
            self.running[process] = file, name, here
            if number % 100 == 0:
                self.keep()
        while self.running:
            self.wait()
        self.keep()
        return True

    def outcome(self, name: str, items: dict[str, pytest.Item], caches: list, tell: int) -> int:
        """In the fork: make the change, and run the tests that reach it until one fails."""
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        os.dup2(1, 2)
        signal.alarm(SECONDS)
        function = name.rpartition("__mutmut_")[0]
        reaching = [test for test in self.reaching.get(function, ()) if test in items]
        reaching.sort(key=lambda test: self.took.get(test, 0))
        tests = list(dict.fromkeys([*self.noticed[function], *reaching]))
        set_mutant_under_test(name)
        for cache in caches:
            cache.cache_clear()
        for test, following in zip(tests, [*tests[1:], None], strict=True):
            reports = runtestprotocol(items[test], log=False, nextitem=items[following] if following else None)
            if any(report.failed for report in reports):
                os.write(tell, test.encode())
                return NOTICED
        return UNNOTICED if tests else UNREACHED

    def wait(self) -> None:
        process, status = os.wait()
        file, name, told = self.running.pop(process)
        outcome = self.outcomes[file][name] = os.waitstatus_to_exitcode(status)
        if test := os.read(told, 10_000).decode():
            tests = self.noticed[name.rpartition("__mutmut_")[0]]
            tests[:] = [test, *(other for other in tests if other != test)]
        os.close(told)
        if outcome != NOTICED:
            print(outcome, name, flush=True)

    def keep(self) -> None:
        for file, outcomes in self.outcomes.items():
            kept = json.loads(file.read_text("utf-8"))
            kept["exit_code_by_key"] |= outcomes
            file.write_text(json.dumps(kept, indent=4), "utf-8")


def _untried() -> Iterator[tuple[Path, str]]:
    for file in sorted(Path("surveys/core").glob("*.meta")):
        for name, outcome in json.loads(file.read_text("utf-8"))["exit_code_by_key"].items():
            if outcome is None:
                yield file, name


def _caches() -> Iterator[functools._lru_cache_wrapper]:
    """What the core remembers of the unchanged program. The registry of units, which is slow to make, is no rule."""
    for found in gc.get_objects():
        is_cache = isinstance(found, functools._lru_cache_wrapper) and (found.__module__ or "").startswith(
            "surveys.core"
        )
        if is_cache and found.__name__ != "registry":
            yield found


if __name__ == "__main__":
    sys.path.insert(0, os.getcwd())
    os.environ["MUTANT_UNDER_TEST"] = ""
    sys.exit(pytest.main(["-q", "--rootdir=.", "-p", "no:warnings", *sys.argv[1:]], plugins=[Trying()]))
