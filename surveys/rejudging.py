"""What would become of the hoods by other criteria: their last surveys, as recorded, judged again.

Nothing is written. Each hood keeps the verdict that it has until it is surveyed again; the preview says which of those
verdicts the draft would not have given. It asks as many queries for one hood as for thousands.
"""

from __future__ import annotations

import logging
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery

from hoods import queries as inventory
from hoods.models import Hood
from surveys import queries
from surveys.core.criteria import Criteria
from surveys.core.document import Facts, WrongShape, parse
from surveys.core.judged import Judged
from surveys.core.judging import judge
from surveys.core.messages import Message
from surveys.models import Assignment, CriteriaSet, Survey

log = logging.getLogger(__name__)

RANK = {"fail": 0, "restrict": 1, "pass": 2}
STRICTER, EASIER, OTHERWISE, SAME = "stricter", "easier", "otherwise", "same"


@dataclass(frozen=True, slots=True)
class Again:
    """The last survey of a hood that had a verdict, judged again; without a verdict it says why not."""

    line: queries.Line
    survey: Survey
    approved: tuple[str, ...]  # as recorded
    judged: Judged | None
    why_not: tuple[Message | Mapping[str, Any], ...] = ()

    @property
    def turn(self) -> str:
        """Which way the new verdict differs from the recorded one."""
        assert self.judged is not None
        before, after = RANK[self.survey.verdict], RANK[self.judged.verdict]
        if before != after:
            return STRICTER if after < before else EASIER
        was = (self.survey.restriction, set(self.approved))
        return SAME if was == (self.judged.restriction, set(self.judged.approved)) else OTHERWISE


@dataclass(frozen=True, slots=True)
class Preview:
    """What the hoods that a set judges would have come to by a draft of it."""

    judged: tuple[Again, ...]
    not_judged: tuple[Again, ...]
    unsurveyed: tuple[queries.Line, ...]  # no survey with a verdict that could be judged again

    @property
    def number(self) -> int:
        return len(self.judged) + len(self.not_judged) + len(self.unsurveyed)

    @property
    def changed(self) -> tuple[Again, ...]:
        return tuple(one for one in self.judged if one.turn != SAME)

    @property
    def same(self) -> int:
        return len(self.judged) - len(self.changed)

    def turned(self, turn: str) -> tuple[Again, ...]:
        return tuple(one for one in self.judged if one.turn == turn)


def judged_by_set(hoods: QuerySet[Hood], one: CriteriaSet, on: date) -> QuerySet[Hood]:
    """The hoods in use that a set judges on a day, and those that it is to judge from a later day on."""
    come = Assignment.objects.filter(hood=OuterRef("pk"), from_on__lte=on).order_by("-from_on", "-pk")
    to_come = Assignment.objects.filter(hood=OuterRef("pk"), from_on__gt=on, set=one)
    hoods = inventory.without_retired(hoods).alias(judge=Subquery(come.values("set")[:1]))
    return hoods.filter(Q(judge=one.pk) | Exists(to_come))


def preview(hoods: QuerySet[Hood], criteria: Criteria, on: date) -> Preview:
    """The last verdict of each hood beside the one that these criteria give, in walking order."""
    lines = queries.lines(hoods, on)
    wanted = {line.status.survey for line in lines if line.status.survey is not None}
    surveys = Survey.objects.filter(pk__in=wanted).select_related("record", "version__set")
    by_key = {survey.pk: survey for survey in surveys}
    found = [_again(line, by_key[line.status.survey], criteria) for line in lines if line.status.survey in by_key]
    return Preview(
        judged=tuple(one for one in found if one.judged is not None),
        not_judged=tuple(one for one in found if one.judged is None),
        unsurveyed=tuple(line for line in lines if line.status.survey not in by_key),
    )


def _again(line: queries.Line, survey: Survey, criteria: Criteria) -> Again:
    """One record judged again. What breaks off the judging is no verdict, and is said; it hides no other hood."""
    approved: tuple[str, ...] = ()
    try:
        attested = survey.record.attested
        approved = tuple(attested["judged"]["approved"])
        judged = judge(parse(attested["entered"]), Facts.from_dict(attested["facts"]), criteria)
    except (WrongShape, LookupError, TypeError, ValueError):
        log.exception("record %s could not be judged again", survey.record_id)
        return Again(line, survey, approved, None, (Message("record-not-judged-again"),))
    if judged.verdict == "no-verdict":
        return Again(line, survey, approved, None, judged.reasons)
    return Again(line, survey, approved, judged)
