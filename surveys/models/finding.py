"""What was found wanting and has to be seen to: opened by a signed survey, followed until it is closed. Rows are only ever added."""

from __future__ import annotations

from django.db import models
from django.db.models.functions import Coalesce

from hoods.models import Hood, Person
from surveys.models.survey import Survey


class FindingQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> FindingQuerySet:
        return self.filter(hood__in=Hood.objects.visible_to(person).values("pk"))

    def open(self) -> FindingQuerySet:
        return self.exclude(changes__kind="closed")

    def with_what_holds(self) -> FindingQuerySet:
        """Adds what was last arranged (`owner`, `order_number`, `promised_on`), and when it was closed, if it was."""
        changes = FindingChange.objects.filter(finding=models.OuterRef("pk")).order_by("-at", "-pk")
        arranged, closed = changes.filter(kind="arranged"), changes.filter(kind="closed")
        nobody = models.Value("")
        return self.annotate(
            owner=Coalesce(models.Subquery(arranged.values("owner")[:1]), nobody),
            order_number=Coalesce(models.Subquery(arranged.values("order_number")[:1]), nobody),
            promised_on=models.Subquery(arranged.values("promised_on")[:1]),
            closed_at=models.Subquery(closed.values("at")[:1]),
        )


class Finding(models.Model):
    """One limit or check not met, a reason for which a survey was ended, or a label that did not hold.

    A hood has at most one open finding of the same kind, thing and opening: finding it again adds a change.
    """

    hood = models.ForeignKey(Hood, models.PROTECT, related_name="findings")
    survey = models.ForeignKey(Survey, models.PROTECT, related_name="findings")  # the one that opened it
    kind = models.CharField(max_length=20)  # fail, restrict, note, label-not-held, mended-on-visit
    figure = models.CharField(max_length=60, blank=True)
    check_code = models.CharField(max_length=60, blank=True)
    limit = models.PositiveSmallIntegerField(null=True)  # its place among the limits of the version that judged
    ended = models.CharField(max_length=40, blank=True)  # the reason for which the survey was ended: 'no-flow'
    opening_name = models.CharField(max_length=60, blank=True)
    value = models.CharField(max_length=60, blank=True)
    unit = models.CharField(max_length=12, blank=True)
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    objects = FindingQuerySet.as_manager()

    class Meta:
        ordering = ["hood", "at", "pk"]
        indexes = [models.Index(fields=["hood", "at"], name="finding_hood")]


class FindingChange(models.Model):
    """What was arranged, or became, of a finding; of owner, order and promised day the last one said holds."""

    finding = models.ForeignKey(Finding, models.PROTECT, related_name="changes")
    kind = models.CharField(max_length=12)  # arranged, found-again, closed
    owner = models.CharField(max_length=120, blank=True)  # who sees to it: a person or a trade
    order_number = models.CharField(max_length=60, blank=True)
    promised_on = models.DateField(null=True)
    words = models.TextField(blank=True)
    survey = models.ForeignKey(Survey, models.PROTECT, null=True, related_name="+")  # that found it again or met it
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["finding", "at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["finding"], condition=models.Q(kind="closed"), name="finding_closed_once"),
            models.CheckConstraint(
                name="finding_closed_by_a_survey_or_a_reason",
                condition=~models.Q(kind="closed") | models.Q(survey__isnull=False) | ~models.Q(words=""),
            ),
        ]
