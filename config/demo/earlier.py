"""What the institute has from before: the results of a bench that a tenant kept, brought in from their list and accepted."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from hoods import inventory_file
from surveys import earlier as planning
from surveys.actions import earlier
from surveys.forms.earlier import check
from surveys.forms.earlier_columns import SHEET

NAME = "north bench 2023-2025.csv"
BROUGHT_IN, ACCEPTED = 282, 280  # days ago
WHY = "Measured by the traverse that our own criteria ask, with a calibrated meter; the safety office compared three reports."
HEADINGS = (
    "tag", "measured on", "result", "restriction", "measured by", "judged by", "record", "opening 1 name", "opening 1 height",
    "opening 1 average", "opening 1 lowest", "opening 1 points",
)  # fmt: skip
#: Tag, and for each year: how many days ago, result, restriction, average, lowest, points.
OF_NAMED = (("FH-0101", ((1096, "pass", "", "106 ft/min", "97 ft/min", ""),)),)
TAKEN_OVER: tuple[tuple[str, tuple[tuple[int, str, str, str, str, str], ...]], ...] = (
    ("FH-0120", (
        (1012, "pass", "", "107 ft/min", "96 ft/min", ""),
        (651, "pass", "", "101 ft/min", "92 ft/min", ""),
        (291, "pass", "", "", "", "99 101 97 96 98 / 95 97 96 94 97 ft/min"),
    )),
    ("FH-0121", (
        (1012, "pass", "", "0.53 m/s", "0.48 m/s", ""),
        (651, "fail", "", "0.34 m/s", "0.27 m/s", ""),
        (640, "pass", "", "0.51 m/s", "0.46 m/s", ""),
        (291, "restrict", "not for highly toxic materials", "0.44 m/s", "0.38 m/s", ""),
    )),
    ("FH-0122", ((651, "pass", "", "104 ft/min", "", ""), (291, "pass", "", "100 ft/min", "91 ft/min", ""))),
)  # fmt: skip


def happenings(built: Any, day: date, whole: bool) -> Iterator[tuple[datetime, Callable[[], object]]]:
    """The list is brought in as it would be on the page, and accepted by the programme manager two days later."""
    listed = written(day, (*OF_NAMED, *(TAKEN_OVER if whole else ())))
    brought_in, accepted = (
        datetime.combine(day - timedelta(days=ago), time(14), UTC) for ago in (BROUGHT_IN, ACCEPTED)
    )
    yield brought_in, lambda: _bring_in(built, listed, brought_in)
    yield accepted, lambda: _accept(built, accepted)


def written(day: date, of: Any) -> bytes:
    """The list as its file has it."""
    rows = [
        [tag, f"{day - timedelta(days=ago)}", result, restriction, "Lindqvist air services", "tenant's own rules of 2022",
         f"folder {number}", "working", "18 in", average, lowest, points]
        for number, (tag, results) in enumerate(of, start=1)
        for ago, result, restriction, average, lowest, points in results
    ]  # fmt: skip
    return "\r\n".join(";".join(row) for row in [HEADINGS, *rows]).encode()


def _bring_in(built: Any, data: bytes, at: datetime) -> None:
    said = check(inventory_file.read(data, SHEET)).said
    plan = planning.plan(built.site, said, built.site.day_of(at))
    earlier.bring_in_results(
        site=built.site, said=said, seen=plan.digest, name=NAME, sha256=hashlib.sha256(data).hexdigest(), by=built.manager,
        at=at,
    )  # fmt: skip


def _accept(built: Any, at: datetime) -> None:
    earlier.accept_results(batch=built.site.earlier_batches.get(name=NAME), why=WHY, by=built.manager, at=at)
