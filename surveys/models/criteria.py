"""What a site judges by: sets, their versions, and which hood is judged by which set."""

from __future__ import annotations

import json
from datetime import date
from functools import lru_cache
from typing import Any

from django.db import models

from hoods.models import Hood, Opening, Person, Site
from hoods.models.place import QUANTITY
from surveys.core.criteria import Criteria


class CriteriaSetQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> CriteriaSetQuerySet:
        return self.filter(site__in=person.standing.sites)


class CriteriaSet(models.Model):
    """The criteria of a site for hoods of one sort, by a name; its versions say what they are."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="criteria_sets")
    name = models.CharField(max_length=120)
    words = models.TextField(blank=True)

    objects = CriteriaSetQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [models.UniqueConstraint(fields=["site", "name"], name="criteria_set_name_once_a_site")]

    def __str__(self) -> str:
        return self.name

    def in_force(self, on: date) -> CriteriaVersion | None:
        """The adopted version with the latest first day that has come."""
        return (
            self.versions.filter(adopted_at__isnull=False, first_day__lte=on).order_by("-first_day", "-number").first()
        )


class CriteriaVersionQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> CriteriaVersionQuerySet:
        return self.filter(set__site__in=person.standing.sites)


class CriteriaVersion(models.Model):
    """A version of a set: a draft until adopted, after that never changed (the database holds it)."""

    set = models.ForeignKey(CriteriaSet, models.PROTECT, related_name="versions")
    number = models.PositiveIntegerField()
    content = models.TextField()  # the criteria document, canonical JSON
    starter = models.CharField(max_length=60, blank=True)  # code of the starter set it was made from
    first_day = models.DateField(null=True, blank=True)
    adopted_at = models.DateTimeField(null=True, blank=True)
    adopted_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    reason = models.TextField(blank=True)
    seldom = models.TextField(blank=True)  # why a hood that is usually surveyed sooner is surveyed so late
    record = models.OneToOneField("surveys.Record", models.PROTECT, null=True, blank=True, related_name="+")

    objects = CriteriaVersionQuerySet.as_manager()

    class Meta:
        ordering = ["set", "number"]
        constraints = [
            models.UniqueConstraint(fields=["set", "number"], name="criteria_version_number_once_a_set"),
            models.CheckConstraint(
                name="adopted_version_is_whole",
                condition=models.Q(adopted_at__isnull=True, adopted_by__isnull=True, record__isnull=True)
                | models.Q(
                    adopted_at__isnull=False, adopted_by__isnull=False, first_day__isnull=False, record__isnull=False
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.set.name}, version {self.number}"

    @property
    def document(self) -> dict[str, Any]:
        return json.loads(self.content)

    @property
    def criteria(self) -> Criteria:
        """The document as core judges by it."""
        return _criteria(self.content)


@lru_cache(maxsize=64)
def _criteria(content: str) -> Criteria:
    """Read once for all surveys that are judged by it."""
    return Criteria.from_dict(json.loads(content))


class Assignment(models.Model):
    """The set that judges a hood, from a day on; the last one holds."""

    hood = models.ForeignKey(Hood, models.PROTECT, related_name="assignments")
    set = models.ForeignKey(CriteriaSet, models.PROTECT, related_name="assignments")
    from_on = models.DateField()
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    why = models.TextField(blank=True)
    evidence = models.TextField(blank=True)  # what shows that this hood may be judged so, where the set demands it

    class Meta:
        ordering = ["hood", "from_on", "pk"]
        indexes = [models.Index(fields=["hood", "-from_on", "-id"], name="assignment_last")]


class Benchmark(models.Model):
    """The average that an opening had when it was shown to contain; the last one valid holds."""

    opening = models.ForeignKey(Opening, models.PROTECT, related_name="benchmarks")
    value = models.CharField(**QUANTITY)
    source = models.TextField(blank=True)
    from_on = models.DateField()
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["opening", "from_on", "pk"]
