"""A posted 'do not use', and what became of it. Rows are only ever added."""

from __future__ import annotations

from django.db import models

from hoods.models import Hood, Person
from surveys.models.draft import Draft
from surveys.models.survey import Survey


class StopQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> StopQuerySet:
        return self.filter(hood__in=Hood.objects.visible_to(person).values("pk"))

    def up(self) -> StopQuerySet:
        return self.exclude(changes__kind__in=("lifted", "withdrawn"))


class Stop(models.Model):
    hood = models.ForeignKey(Hood, models.PROTECT, related_name="stops")
    reason = models.CharField(max_length=40)  # no-flow, smoke-came-out, glass-broken, sash-does-not-stay, other-danger
    words = models.TextField(blank=True)
    draft = models.ForeignKey(Draft, models.PROTECT, null=True, related_name="stops")  # the survey that it ended
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    objects = StopQuerySet.as_manager()

    class Meta:
        ordering = ["hood", "at", "pk"]
        indexes = [models.Index(fields=["hood", "at"], name="stop_hood")]


class StopChange(models.Model):
    """What became of a stop: its sign hung, lifted by a signed survey, or withdrawn as mistaken."""

    stop = models.ForeignKey(Stop, models.PROTECT, related_name="changes")
    kind = models.CharField(max_length=12)  # hung, lifted, withdrawn
    survey = models.ForeignKey(Survey, models.PROTECT, null=True, related_name="+")
    why = models.TextField(blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["stop", "at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["stop", "kind"], name="stop_changed_once_each_way"),
            models.CheckConstraint(
                name="lifted_by_a_survey", condition=~models.Q(kind="lifted") | models.Q(survey__isnull=False)
            ),
        ]
