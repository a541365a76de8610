"""Two ways timed by turns in one run; only their ratio means anything."""

from __future__ import annotations

import gc
from collections.abc import Callable
from statistics import median
from time import perf_counter


def ratio(ours: Callable[[], object], bare: Callable[[], object], *, rounds: int = 7) -> float:
    """How many times as long ours takes as the bare way: the ratio of the medians, each warmed once, taken by turns."""
    ours(), bare()
    times: tuple[list[float], list[float]] = ([], [])
    gc.collect()
    gc.disable()
    try:
        for _ in range(rounds):
            for kept, way in zip(times, (ours, bare), strict=True):
                begun = perf_counter()
                way()
                kept.append(perf_counter() - begun)
    finally:
        gc.enable()
    return median(times[0]) / median(times[1])


def said(what: str, found: float, *, at_most: float | None = None, at_least: float | None = None) -> None:
    """Print a ratio beside its bar, and fail when it is over (or under) it."""
    bar = f"at most {at_most:g}" if at_most is not None else f"at least {at_least:g}"
    print(f"\n  {what}: {found:.2f} ({bar})", end="")
    assert at_most is None or found <= at_most
    assert at_least is None or found >= at_least
