"""Two ways timed by turns in one run; only their ratio means anything."""

from __future__ import annotations

import gc
from collections.abc import Callable
from statistics import median
from time import perf_counter

from django.db import connection
from django.test.utils import CaptureQueriesContext


def ratio(
    ours: Callable[[], object],
    bare: Callable[[], object],
    *,
    rounds: int = 7,
    clock: Callable[[], float] = perf_counter,
) -> float:
    """How many times as long ours takes as the bare way: the ratio of the medians, each warmed once, taken by turns.

    By the processor's time (`process_time`) what else the machine does is left out; so is a database with a server.
    """
    ours(), bare()
    times: tuple[list[float], list[float]] = ([], [])
    gc.collect()
    gc.disable()
    try:
        for _ in range(rounds):
            for kept, way in zip(times, (ours, bare), strict=True):
                begun = clock()
                way()
                kept.append(clock() - begun)
    finally:
        gc.enable()
    return median(times[0]) / median(times[1])


def bare(asked: CaptureQueriesContext) -> Callable[[], None]:
    """What was read, read again as the database hands it over: the same rows as bare tuples, nothing made of them."""
    read = [query["sql"] for query in asked.captured_queries if query["sql"].startswith("SELECT")]

    def load() -> None:
        with connection.cursor() as cursor:
            for sql in read:
                cursor.execute(sql)
                cursor.fetchall()

    return load


def said(what: str, found: float, *, at_most: float | None = None, at_least: float | None = None) -> None:
    """Print a ratio beside its bar, and fail when it is over (or under) it."""
    bar = f"at most {at_most:g}" if at_most is not None else f"at least {at_least:g}"
    print(f"\n  {what}: {found:.2f} ({bar})", end="")
    assert at_most is None or found <= at_most
    assert at_least is None or found >= at_least
