"""A signed survey and its parts: the index of its record. Nothing here is ever updated."""

from __future__ import annotations

from django.db import models

from hoods.models import Hood, Opening, Person
from hoods.models.place import QUANTITY
from surveys.models.criteria import CriteriaVersion
from surveys.models.draft import Draft
from surveys.models.instrument import Calibration, Instrument
from surveys.models.record import Record


class SurveyQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> SurveyQuerySet:
        return self.filter(hood__in=Hood.objects.visible_to(person).values("pk"))


class Survey(models.Model):
    """What was found at one hood on one day, judged and signed."""

    draft = models.OneToOneField(Draft, models.PROTECT, primary_key=True, related_name="survey")
    hood = models.ForeignKey(Hood, models.PROTECT, related_name="surveys")
    version = models.ForeignKey(CriteriaVersion, models.PROTECT, related_name="surveys")
    instrument = models.ForeignKey(Instrument, models.PROTECT, null=True, related_name="surveys")
    calibration = models.ForeignKey(Calibration, models.PROTECT, null=True, related_name="surveys")
    reason = models.CharField(max_length=40)  # why it was made: 'annual'
    done_on = models.DateField()
    measured_from = models.DateTimeField()
    measured_until = models.DateTimeField()
    verdict = models.CharField(max_length=20)
    as_found = models.CharField(max_length=20)  # the verdict of the set as found
    held = models.CharField(max_length=20)  # did the label hold?
    restriction = models.JSONField(null=True)  # as judged: largest_opening, not_openings, use
    full = models.BooleanField()  # all that its version asks was done
    due_on = models.DateField(null=True)  # the next survey, by the version that judged it
    label_issue = models.PositiveIntegerField(null=True)  # of a survey that grants; rises with each
    amends = models.ForeignKey("self", models.PROTECT, null=True, related_name="amended_by")
    why = models.TextField(blank=True)  # the reason of an amendment
    signed_at = models.DateTimeField()
    signed_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    record = models.OneToOneField(Record, models.PROTECT, related_name="survey")  # a deferred key

    objects = SurveyQuerySet.as_manager()

    class Meta:
        ordering = ["-measured_until", "-record"]
        indexes = [
            models.Index(fields=["hood", "-measured_until", "-record"], name="survey_last"),
            models.Index(fields=["-done_on", "-record"], name="survey_newest"),
        ]
        constraints = [models.UniqueConstraint(fields=["hood", "label_issue"], name="label_issue_once_a_hood")]


class Traverse(models.Model):
    """One traverse of one opening in one state."""

    survey = models.ForeignKey(Survey, models.PROTECT, related_name="traverses")
    order = models.PositiveSmallIntegerField()
    opening = models.ForeignKey(Opening, models.PROTECT, null=True, related_name="traverses")
    opening_name = models.CharField(max_length=60)
    state = models.CharField(max_length=20)
    unit = models.CharField(max_length=12)
    monitor = models.CharField(**QUANTITY)
    rows = models.PositiveSmallIntegerField()
    columns = models.PositiveSmallIntegerField()
    struck = models.TextField(blank=True)  # the reason why the whole traverse was struck

    class Meta:
        ordering = ["survey", "order"]


class Reading(models.Model):
    """One reading: the digits as typed, in the unit of its traverse."""

    traverse = models.ForeignKey(Traverse, models.PROTECT, related_name="readings")
    row = models.PositiveSmallIntegerField()
    column = models.PositiveSmallIntegerField()
    repeat = models.PositiveSmallIntegerField(default=1)
    value = models.CharField(max_length=40)
    at = models.DateTimeField(null=True)
    struck = models.TextField(blank=True)

    class Meta:
        ordering = ["traverse", "row", "column", "repeat"]


class Judgement(models.Model):
    """One limit or check, judged: of an opening, or of the hood where the opening is empty."""

    survey = models.ForeignKey(Survey, models.PROTECT, related_name="judgements")
    state = models.CharField(max_length=20)
    opening_name = models.CharField(max_length=60, blank=True)
    figure = models.CharField(max_length=60, blank=True)
    check_code = models.CharField(max_length=60, blank=True)
    limit = models.PositiveSmallIntegerField(null=True)  # its place among the limits of the version
    value = models.CharField(max_length=60, blank=True)
    unit = models.CharField(max_length=12, blank=True)
    outcome = models.CharField(max_length=20)
    consequence = models.CharField(max_length=20)

    class Meta:
        ordering = ["survey", "state", "opening_name", "pk"]


class Approval(models.Model):
    """An opening at which a survey lets the hood be used, with its size as measured."""

    survey = models.ForeignKey(Survey, models.PROTECT, related_name="approvals")
    opening = models.ForeignKey(Opening, models.PROTECT, null=True, related_name="approvals")
    opening_name = models.CharField(max_length=60)
    use = models.CharField(max_length=20)
    way = models.CharField(max_length=60, blank=True)
    width = models.CharField(**QUANTITY)
    height = models.CharField(**QUANTITY)
    cover = models.CharField(max_length=60, blank=True)  # what covered a part of it, and stays where it is
    flow_state = models.CharField(max_length=20, blank=True)  # of a two-state hood: the state that was tested

    class Meta:
        ordering = ["survey", "pk"]
