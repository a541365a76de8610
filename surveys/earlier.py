"""A list of earlier results beside what the ledger has: what it would add and leave, and what of it cannot be.

A row is known by its hood and its day. What an earlier record says is kept as it is said: nothing of it is judged here, no
time of day is made for it, and a list rewrites neither what another list brought nor what was signed.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, NamedTuple

from django.utils.translation import gettext_lazy as _

from hoods.core.quantity import is_unlikely
from hoods.core.sameness import folded_tag
from hoods.inventory_kept import Kept, KeptHood, load
from hoods.inventory_said import Problem, opening_column
from hoods.models import Opening, Site
from surveys.core import earlier
from surveys.earlier_said import nowhere_said, unlikely_said
from surveys.models import EarlierOpening, EarlierResult, Survey
from surveys.models.earlier import STRUCK
from surveys.wording import sentence

GRANTING = ("pass", "restrict")


class SaidOpening(NamedTuple):
    """What a row says of an opening, and the number in its headings."""

    number: int
    name: str
    height: str = ""
    average: str = ""
    lowest: str = ""
    points: str = ""


@dataclass(frozen=True)
class Said:
    """What a row of a list says of one hood on one day."""

    row: int
    tag: str
    measured_on: date
    verdict: str
    flow_state: str = ""
    restriction: str = ""
    measured_by: str = ""
    judged_by: str = ""
    reference: str = ""
    notes: str = ""
    openings: tuple[SaidOpening, ...] = ()

    @property
    def what(self) -> tuple[Any, ...]:
        """All that is said, to hold it beside what is kept."""
        lines = tuple(sorted(tuple(opening[1:]) for opening in self.openings))
        return (*(getattr(self, name) for name in WORDS), lines)


WORDS = ("verdict", "flow_state", "restriction", "measured_by", "judged_by", "reference", "notes")


@dataclass(frozen=True)
class Added:
    """A result that is new: its hood, and each opening with whether it lets the hood be used there, if the list counts."""

    said: Said
    hood: Any
    openings: tuple[tuple[SaidOpening, Opening, bool], ...]

    @property
    def nowhere(self) -> str:
        """Why it lets nobody use such a hood, though it says pass or restrict: a code, or empty."""
        return _nowhere(self.said, self.hood) if self.said.verdict in GRANTING else ""

    @property
    def is_unlikely(self) -> bool:
        """Whether an average of it, or a lowest value where it has none, is likelier a slip of the point or of the unit."""
        return any(is_unlikely(said.average or _of_points(said) or said.lowest) for said, *_rest in self.openings)

    @property
    def approves(self) -> bool:
        return any(approves for _said, _opening, approves in self.openings)


@dataclass
class Plan:
    """What keeping a list would do; nothing may be kept while it has problems."""

    site: Site
    problems: list[Problem] = field(default_factory=list)
    added: list[Added] = field(default_factory=list)
    left: int = 0

    @property
    def does_something(self) -> bool:
        return bool(self.added)

    @property
    def hoods(self) -> int:
        return len({one.hood.pk for one in self.added})

    @property
    def without_approval(self) -> int:
        """Results that say pass or restrict and let no hood be used, of hoods that others could: without a height, or above it."""
        return sum(one.said.verdict in GRANTING and not one.approves and not one.nowhere for one in self.added)

    @property
    def nowhere(self) -> list[str]:
        """A sentence for each kind of hood that results of this list let nobody use, whatever they say."""
        return nowhere_said(Counter(one.nowhere for one in self.added if one.nowhere))

    @property
    def unlikely(self) -> str:
        """What is asked of averages that are likelier a slip, with their rows; empty where none is."""
        return unlikely_said([one.said.row for one in self.added if one.is_unlikely])

    @property
    def digest(self) -> str:
        """What the plan comes to, in short: who keeps it has seen this one and no other."""
        lines = [
            [one.said.tag, str(one.said.measured_on), one.said.what, [approves for *_rest, approves in one.openings]]
            for one in self.added
        ]
        return hashlib.sha256(json.dumps([self.site.pk, lines, self.left]).encode()).hexdigest()


def plan(site: Site, said: Sequence[Said], today: date) -> Plan:
    """What keeping these rows would do on a day."""
    kept, made = load(site), Plan(site)
    have, signed = _kept_results(site), _signed(site, {one.measured_on for one in said})
    rows: dict[tuple[str, date], int] = {}
    for one in said:
        hood = kept.hoods.get(one.tag)
        problems = [*_why_not_tag(one, kept), *_why_not_twice(one, rows)]
        rows.setdefault((one.tag, one.measured_on), one.row)
        before = have.get((hood.hood.pk, one.measured_on)) if hood else None
        if hood is not None and before is not None and before.what == one.what:
            made.left += not problems
        elif hood is not None:
            if before is not None:
                problems.append(Problem(one.row, "measured on", _otherwise(before)))
            problems += _why_not_day(one, hood, today, signed)
            problems += _why_not_state(one, hood)
            problems += _why_not_restriction(one)
            problems += _why_not_openings(one, hood)
        made.problems += problems
        if hood is not None and not problems and before is None:
            made.added.append(_added(one, hood))
    return made


def _added(one: Said, hood: KeptHood) -> Added:
    have = {opening.name: opening for opening in hood.openings}
    nowhere = _nowhere(one, hood.hood)
    openings = tuple(
        (said, have[said.name], not nowhere and _approves(one, said, have[said.name])) for said in one.openings
    )
    return Added(one, hood.hood, openings)


def _of_points(said: SaidOpening) -> str:
    found = earlier.average("", earlier.points(said.points) if said.points else None)
    return found.text if found else ""


def _nowhere(one: Said, hood: Any) -> str:
    return earlier.why_nowhere(hood.kind, hood.control, one.flow_state)


def _approves(one: Said, said: SaidOpening, opening: Opening) -> bool:
    return earlier.approves(one.verdict, said.height, opening.height, opening.use)


# What the ledger has -------------------------------------------------------------------------------------------------


class Before(NamedTuple):
    """A result that an earlier list brought."""

    what: tuple[Any, ...]
    list: str
    row: int


def _kept_results(site: Site) -> dict[tuple[int, date], Before]:
    """What lists that were not struck have brought, by hood and day, in two queries."""
    results = EarlierResult.objects.filter(hood__site=site).exclude(batch__changes__kind=STRUCK)
    openings: dict[int, list[tuple[str, ...]]] = {}
    columns = ("opening_name", "height", "average", "lowest", "points")
    rows = EarlierOpening.objects.filter(result__in=results.order_by().values("pk")).order_by("pk")
    for result, *line in rows.values_list("result_id", *columns).iterator(5000):
        openings.setdefault(result, []).append(tuple(line))
    known = results.order_by("pk").values_list("pk", "hood_id", "measured_on", "batch__name", "row", *WORDS)
    return {
        (hood, on): Before((*words, tuple(sorted(openings.get(pk, ())))), batch, row)
        for pk, hood, on, batch, row, *words in known.iterator(5000)
    }


def _signed(site: Site, days: Iterable[date]) -> dict[tuple[int, date], int]:
    """By hood and day, the record of a survey that is signed here."""
    days = sorted(days)
    if not days:
        return {}
    surveys = Survey.objects.filter(hood__site=site, done_on__range=(days[0], days[-1])).order_by("record")
    return {(hood, on): record for hood, on, record in surveys.values_list("hood_id", "done_on", "record_id")}


# What cannot be ------------------------------------------------------------------------------------------------------


def _why_not_tag(one: Said, kept: Kept) -> Iterator[Problem]:
    if one.tag in kept.hoods:
        return
    if other := kept.alike.get(folded_tag(one.tag)):
        said = _("This looks like %(tag)s, which the site has: write it the same way.") % {"tag": other}
    elif now := kept.former.get(folded_tag(one.tag)):
        said = _("This is a former tag of %(tag)s: write that one.") % {"tag": now}
    else:
        said = _("The site has no hood with this tag: register the hood first, or take this row out.")
    yield Problem(one.row, "tag", said)


def _why_not_twice(one: Said, rows: Mapping[tuple[str, date], int]) -> Iterator[Problem]:
    if first := rows.get((one.tag, one.measured_on)):
        said = _(
            "Row %(row)d has this hood and day already: write what the record says in one row, and take the other out."
        )
        yield Problem(one.row, "measured on", said % {"row": first})


def _otherwise(before: Before) -> Any:
    said = _(
        "Row %(row)d of %(list)s said something else of this hood and day, and a list rewrites none: take this row out, or "
        "strike that list and bring it in anew."
    )
    return said % {"row": before.row, "list": before.list}


def _why_not_day(one: Said, hood: KeptHood, today: date, signed: Mapping[tuple[int, date], int]) -> Iterator[Problem]:
    if one.measured_on > today:
        yield Problem(one.row, "measured on", _("This day is still to come: write the day on which it was measured."))
    elif hood.installed_on and one.measured_on < hood.installed_on:
        said = _("%(tag)s was installed on %(day)s: write a day since then, or take this row out.")
        yield Problem(one.row, "measured on", said % {"tag": one.tag, "day": hood.installed_on})
    elif record := signed.get((hood.hood.pk, one.measured_on)):
        said = _("A survey of this day is signed here (record %(record)d): take this row out.")
        yield Problem(one.row, "measured on", said % {"record": record})


def _why_not_state(one: Said, hood: KeptHood) -> Iterator[Problem]:
    if one.flow_state and hood.hood.control != "two-state":
        yield Problem(one.row, "state", _("%(tag)s is no two-state hood: empty this cell.") % {"tag": one.tag})


def _why_not_restriction(one: Said) -> Iterator[Problem]:
    if one.verdict == "restrict" and not one.restriction:
        said = _("A restricted hood has its restriction in words: write it, such as “not for highly toxic materials”.")
        yield Problem(one.row, "restriction", said)
    elif one.verdict != "restrict" and one.restriction:
        said = _("Only the result “restrict” has a restriction: empty this cell, or write that result.")
        yield Problem(one.row, "restriction", said)


def _why_not_openings(one: Said, hood: KeptHood) -> Iterator[Problem]:
    have = [opening.name for opening in hood.openings]
    met: dict[str, int] = {}
    for opening in one.openings:
        column = opening_column(opening.number, "name")
        if opening.name in met:
            said = _("Opening %(number)d has this name already: each opening of a hood has a name of its own.")
            yield Problem(one.row, column, said % {"number": met[opening.name]})
        elif opening.name not in have:
            said = _("%(tag)s has no opening of this name: write one of %(names)s.")
            yield Problem(one.row, column, said % {"tag": one.tag, "names": ", ".join(have) or "–"})
        elif not any(opening[2:]):
            yield Problem(
                one.row, column, _("Nothing is said of this opening: write what was measured, or empty its name.")
            )
        met.setdefault(opening.name, opening.number)
        points = earlier.points(opening.points) if opening.points else None
        if wrong := earlier.why_not_together(opening.average, opening.lowest, points):
            name, message = wrong
            yield Problem(one.row, opening_column(opening.number, name), sentence(message))
