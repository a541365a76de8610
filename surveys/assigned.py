"""Which set of criteria judges each of many hoods on a day."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date

from django.db.models import OuterRef, QuerySet, Subquery

from hoods.models import Hood
from surveys.models import Assignment, CriteriaSet


@dataclass(frozen=True, slots=True)
class JudgedBy:
    """Which set judges each hood on a day: names by hood, and how many hoods each set judges."""

    names: dict[int, str]
    counts: dict[int, int]
    without: int  # hoods without a set

    def hoods(self, one: CriteriaSet) -> int:
        return self.counts.get(one.pk, 0)


def without_set(hoods: QuerySet[Hood], on: date) -> QuerySet[Hood]:
    """Those of them that no set judges on a day."""
    return hoods.exclude(pk__in=Assignment.objects.filter(from_on__lte=on).order_by().values("hood"))


def judged_by(hoods: QuerySet[Hood], on: date) -> JudgedBy:
    """The last assignment of each hood that has come by a day, in one query."""
    last = Assignment.objects.filter(hood=OuterRef("pk"), from_on__lte=on).order_by("-from_on", "-pk")
    rows = hoods.order_by().annotate(
        judge=Subquery(last.values("set")[:1]), judge_name=Subquery(last.values("set__name")[:1])
    )
    found = list(rows.values_list("pk", "judge", "judge_name"))
    return JudgedBy(
        names={hood: name for hood, _set, name in found if name is not None},
        counts=Counter(key for _hood, key, _name in found if key is not None),
        without=sum(1 for _hood, key, _name in found if key is None),
    )
