"""Tries changes, those of a function in a fork of one process that has collected the tests of the core: run.py starts it.

To collect them anew for each change would take nearly all of the time. What noticed the change before is asked first,
then the tests named after the module, then whatever is quick. Runs in the copy that mutmut made, beside its notes:
which tests reach which function, and one outcome a change (0: no test noticed; 1: one did; 33: no test reaches it;
below zero: it ended the process).
"""

from __future__ import annotations

import functools
import gc
import json
import os
import sys
from collections import defaultdict
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path

import pytest
from _pytest.runner import runtestprotocol
from mutmut.mutation.trampoline import set_mutant_under_test

AT_ONCE = os.cpu_count() or 1
UNNOTICED, NOTICED, UNREACHED = 0, 1, 33


class Trying:
    """Takes the place of pytest's own loop over the tests."""

    def __init__(self) -> None:
        notes = json.loads(Path("mutmut-stats.json").read_text("utf-8"))
        self.reaching, self.took = notes["tests_by_mangled_function_name"], notes["duration_by_test"]
        self.running: dict[int, tuple[list[str], int]] = {}

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self.items = {item.nodeid: item for item in session.items}
        self.caches = list(_caches())
        self.waiting = list(_untried())
        gc.freeze()  # so that forks share what was collected
        while self.waiting or self.running:
            if self.waiting and len(self.running) < AT_ONCE:
                self.start(self.waiting.pop(0))
            else:
                self.wait()
        return True

    def start(self, names: list[str]) -> None:
        here, there = os.pipe()
        if not (process := os.fork()):
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
            os.dup2(1, 2)
            self.try_all(names, there)
            os._exit(0)
        os.close(there)
        self.running[process] = names, here

    def wait(self) -> None:
        process, status = os.wait()
        names, told = self.running.pop(process)
        with open(told) as lines:
            outcomes = {name: int(outcome) for name, outcome in map(str.split, lines)}
        left = [name for name in names if name not in outcomes]
        if left:  # the first of them ended its process; those after it are tried in another
            outcomes[left[0]] = os.waitstatus_to_exitcode(status)
            self.waiting += [left[1:]] if left[1:] else []
        _keep(outcomes)
        for name, outcome in outcomes.items():
            if outcome != NOTICED:
                print(outcome, name, flush=True)

    def try_all(self, names: list[str], tell: int) -> None:
        """In the fork: make one change after the other, and run the tests that reach it until one fails."""
        own = "test_" + names[0].split(".")[2][:6]
        reaching = [test for test in self.reaching.get(_function(names[0]), ()) if test in self.items]
        tests = sorted(reaching, key=lambda test: (own not in test, self.took.get(test, 0)))
        for name in names:
            set_mutant_under_test(name)
            for cache in self.caches:
                cache.cache_clear()
            noticed = next((test for test in tests if self.fails(test)), None)
            if noticed:
                tests.remove(noticed)
                tests.insert(0, noticed)
            outcome = NOTICED if noticed else UNNOTICED if tests else UNREACHED
            os.write(tell, f"{name} {outcome}\n".encode())

    def fails(self, test: str) -> bool:
        return any(report.failed for report in runtestprotocol(self.items[test], log=False, nextitem=None))


def _function(name: str) -> str:
    return name.rpartition("__mutmut_")[0]


def _untried() -> Iterator[list[str]]:
    """The changes that have no outcome yet, by function."""
    for file in sorted(Path("surveys/core").glob("*.meta")):
        kept = json.loads(file.read_text("utf-8"))["exit_code_by_key"]
        untried = [name for name, outcome in kept.items() if outcome is None]
        for _, names in groupby(sorted(untried, key=_function), _function):
            yield list(names)


def _keep(outcomes: dict[str, int]) -> None:
    by_file: dict[Path, dict[str, int]] = defaultdict(dict)
    for name, outcome in outcomes.items():
        by_file[Path(name.rpartition(".")[0].replace(".", "/") + ".py.meta")][name] = outcome
    for file, found in by_file.items():
        kept = json.loads(file.read_text("utf-8"))
        kept["exit_code_by_key"] |= found
        file.write_text(json.dumps(kept, indent=4), "utf-8")


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
