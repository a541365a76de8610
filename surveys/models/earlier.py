"""Results that a site had before this ledger, brought in from a list: not signed here. Rows are only ever added."""

from __future__ import annotations

from django.db import models

from hoods.models import Hood, Opening, Person, Site
from hoods.models.place import QUANTITY
from surveys.models.criteria import CriteriaVersion

ACCEPTED, WITHDRAWN, STRUCK = "accepted", "withdrawn", "struck"


class EarlierBatchQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> EarlierBatchQuerySet:
        return self.filter(site__in=person.standing.whole_sites)


class EarlierBatch(models.Model):
    """One list of earlier results, as it was brought in."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="earlier_batches")
    name = models.CharField(max_length=120)  # of the file
    sha256 = models.CharField(max_length=64)
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    objects = EarlierBatchQuerySet.as_manager()

    class Meta:
        ordering = ["site", "-at", "-pk"]

    def __str__(self) -> str:
        return self.name


class EarlierResult(models.Model):
    """What an earlier record says of one hood on one day."""

    batch = models.ForeignKey(EarlierBatch, models.PROTECT, related_name="results")
    row = models.PositiveIntegerField()  # of the list
    hood = models.ForeignKey(Hood, models.PROTECT, related_name="earlier_results")
    measured_on = models.DateField()
    verdict = models.CharField(max_length=12)  # pass, restrict, fail, no-verdict: as the record says, never judged here
    restriction = models.CharField(max_length=200, blank=True)
    flow_state = models.CharField(max_length=20, blank=True)  # of a two-state hood: the state that was tested
    measured_by = models.CharField(max_length=120, blank=True)
    judged_by = models.CharField(max_length=120, blank=True)
    reference = models.CharField(max_length=120, blank=True)  # where the record itself is found
    notes = models.TextField(blank=True)

    class Meta:
        ordering = ["batch", "row"]
        constraints = [
            models.UniqueConstraint(fields=["batch", "hood", "measured_on"], name="earlier_result_once_a_day"),
            models.CheckConstraint(
                name="earlier_restriction_of_a_restricted_hood",
                condition=models.Q(verdict="restrict") & ~models.Q(restriction="")
                | ~models.Q(verdict="restrict") & models.Q(restriction=""),
            ),
        ]
        indexes = [models.Index(fields=["hood", "-measured_on"], name="earlier_result_hood")]


class EarlierOpening(models.Model):
    """What an earlier record says of one opening; velocities and points as text, each with its unit."""

    result = models.ForeignKey(EarlierResult, models.PROTECT, related_name="openings")
    opening = models.ForeignKey(Opening, models.PROTECT, related_name="+")
    opening_name = models.CharField(max_length=60)
    height = models.CharField(**QUANTITY)
    average = models.CharField(**QUANTITY)
    lowest = models.CharField(**QUANTITY)
    points = models.TextField(blank=True)  # '98 101 95 / 103 99 98 ft/min', rows from the top
    approves = models.BooleanField()  # lets the hood be used there, if its batch counts

    class Meta:
        ordering = ["result", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["result", "opening"], name="earlier_opening_once_a_result"),
            models.CheckConstraint(
                name="earlier_approval_has_a_height", condition=models.Q(approves=False) | ~models.Q(height="")
            ),
        ]


class EarlierChange(models.Model):
    """What became of a batch: accepted as counting, that withdrawn again, or struck as brought in by mistake."""

    batch = models.ForeignKey(EarlierBatch, models.PROTECT, related_name="changes")
    kind = models.CharField(max_length=12)
    why = models.TextField()
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["batch", "at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["batch"], condition=models.Q(kind="struck"), name="earlier_batch_struck_once"
            ),
            models.CheckConstraint(name="earlier_change_has_a_reason", condition=~models.Q(why="")),
        ]


class EarlierCounted(models.Model):
    """A result that an acceptance lets count, and the criteria version by whose rule its hood is due again."""

    change = models.ForeignKey(EarlierChange, models.PROTECT, related_name="counted")
    result = models.ForeignKey(EarlierResult, models.PROTECT, related_name="counted")
    version = models.ForeignKey(CriteriaVersion, models.PROTECT, null=True, related_name="+")  # of a retired hood: none

    class Meta:
        ordering = ["change", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["change", "result"], name="earlier_result_counted_once_an_acceptance"),
        ]
