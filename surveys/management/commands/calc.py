"""`manage.py calc WHAT [FILE]`: the functional core from the command line. Needs nothing but the code."""

import json
import sys
from argparse import ArgumentParser
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import Any, NoReturn

from django.core.management.base import BaseCommand, CommandError, CommandParser

from surveys.core import due, shapes
from surveys.core.adoption import impossible
from surveys.core.criteria import FIGURES, GRID_KEYS, Criteria
from surveys.core.document import check, parse_merged
from surveys.core.judging import judge
from surveys.core.messages import Problem, WrongShape
from surveys.core.opening import NoGrid, plan
from surveys.core.rounding import digits_of
from surveys.core.shapes import Shape
from surveys.wording import sentence


class Refused(Exception):
    """The input cannot be computed with; the text is a sentence."""


def survey(given: Any) -> dict[str, Any]:
    """Judge a survey document by criteria: {"survey": ..., "criteria": ...}."""
    top = _table(given, ("survey", "criteria"))
    document, facts = parse_merged(top["survey"])
    criteria = _criteria(top["criteria"])
    _refuse("survey", check(document, facts))
    judged = judge(document, facts, criteria).as_dict()
    judged["reasons"] = [reason | {"sentence": sentence(reason)} for reason in judged["reasons"]]
    return judged


def grid(given: Any) -> dict[str, Any]:
    """Plan the grid of an opening: {"width": "62 in", "height": "18 in", "grid": the rule, as criteria write it}."""
    top = _table(given, ("width", "height", "grid"))
    shape = Shape()
    rule = shape.table("grid", top["grid"], GRID_KEYS)
    width, height = (shape.quantity(key, top[key], "length") for key in ("width", "height"))
    shape.refuse_if_wrong()
    criteria = _criteria({"compare": "as-measured", "grid": dict(rule), "due": {"months": "12"}})
    try:
        planned = plan(f"{width.text} {width.unit}", f"{height.text} {height.unit}", criteria.grid)  # type: ignore[union-attr]
    except NoGrid:
        raise Refused("No grid can be planned for this size. Write a width and height above zero.") from None
    cells = {"cell_width": planned.cell_width, "cell_height": planned.cell_height}
    return {"columns": str(planned.columns), "rows": str(planned.rows)} | {
        key: {"value": digits_of(value), "unit": planned.unit, "exact": f"{value.numerator}/{value.denominator}"}
        for key, value in cells.items()
    }


def due_day(given: Any) -> dict[str, Any]:
    """When a hood is due again: {"done_on": "2026-03-12", "due": {"months", "anchor", "grace_days", "use_ends_days"}}."""
    top = _table(given, ("done_on", "due"))
    rule = {"compare": "as-measured", "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in"}, "due": top["due"]}
    criteria = _criteria(rule)
    try:
        done_on = date.fromisoformat(top["done_on"])
        found = due.next_due(done_on, criteria.due)
    except (TypeError, ValueError, OverflowError):
        raise Refused("“done_on” is not a day. Write it as year, month and day, such as 2026-03-12.") from None
    return {
        "due_on": found.on.isoformat(),
        "overdue_from": found.overdue_from.isoformat(),
        "grace_until": found.grace_until.isoformat(),
        "use_ends_on": found.use_ends_on.isoformat() if found.use_ends_on else None,
    }


def figures() -> list[dict[str, Any]]:
    """What can be judged, as the page of figures shows it."""
    return [
        {
            "code": f.code,
            "name": f.name,
            "kind": f.kind,
            "definition": f.definition,
            "formula": f.formula,
            "source": f.source,
        }
        for f in FIGURES
    ]


WITH_INPUT: dict[str, Callable[[Any], Any]] = {"survey": survey, "grid": grid, "due": due_day}
WITHOUT_INPUT: dict[str, Callable[[], Any]] = {"figures": figures}


def _table(given: Any, keys: tuple[str, ...]) -> Mapping[str, Any]:
    shape = Shape()
    table = shape.table("", given, keys)
    for key in keys:
        if not shape.problems and key not in table:
            shape.wrong(key, "key-missing", key=key)
    shape.refuse_if_wrong()
    return table


def _criteria(given: Any) -> Criteria:
    criteria = Criteria.from_dict(given)
    _refuse("criteria", impossible(criteria))
    return criteria


def _refuse(what: str, problems: tuple[Problem, ...]) -> None:
    if problems:
        raise WrongShape([Problem(f"{what}.{problem.path}", problem.message) for problem in problems])


def _said(refused: WrongShape) -> str:
    """The first problem and its place, in a sentence; how many more there are."""
    first, more = refused.problems[0], len(refused.problems) - 1
    where = f"{first.path}: " if first.path else ""
    return f"{where}{sentence(first.message)}" + (f" ({more} more)" if more else "")


class JsonParser(CommandParser):
    """A parser whose own refusals are JSON too."""

    def error(self, message: str) -> NoReturn:
        raise Refused(f"The command was not understood: {message}.")


class Command(BaseCommand):
    help = "Compute with the functional core: JSON in, JSON out."
    requires_system_checks: list[str] = []
    requires_migrations_checks = False

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> CommandParser:
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        parser.__class__ = JsonParser
        return parser

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("what", choices=[*WITH_INPUT, *WITHOUT_INPUT], help="what to compute")
        parser.add_argument("file", nargs="?", help="a file of JSON; standard input without it")

    def run_from_argv(self, argv: list[str]) -> None:
        """As every command, but whatever is refused is said as JSON on standard output, with exit status 2."""
        try:
            super().run_from_argv(argv)
        except (Refused, CommandError) as refused:
            self._exit(str(refused))

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            if options["what"] in WITHOUT_INPUT:
                answer = WITHOUT_INPUT[options["what"]]()
            else:
                answer = WITH_INPUT[options["what"]](shapes.loads(self._read(options["file"])))
        except WrongShape as refused:
            self._exit(_said(refused))
        except Refused as refused:
            self._exit(str(refused))
        except Exception as failed:  # never a traceback where JSON was promised, and never a verdict
            self._exit(f"This could not be computed: {type(failed).__name__}.")
        self.stdout.write(json.dumps(answer, ensure_ascii=False, indent=1))

    def _read(self, file: str | None) -> bytes:
        try:
            return sys.stdin.buffer.read() if file is None else Path(file).read_bytes()
        except OSError as failed:
            raise Refused(f"The file “{file}” cannot be read: {failed.strerror}.") from None

    def _exit(self, said: str) -> NoReturn:
        self.stdout.write(json.dumps({"error": said}, ensure_ascii=False))
        raise SystemExit(2)
