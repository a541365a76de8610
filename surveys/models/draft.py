"""A survey in the making: the draft, its revisions, and what came too late."""

from __future__ import annotations

import uuid
from typing import Any

from django.db import models

from hoods.models import Hood, Person


class DraftQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> DraftQuerySet:
        return self.filter(hood__in=Hood.objects.visible_to(person).values("pk"))

    def open(self) -> DraftQuerySet:
        return self.filter(survey__isnull=True)


class Draft(models.Model):
    """A survey being made; its address is the same before and after signing."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    hood = models.ForeignKey(Hood, models.PROTECT, related_name="drafts")
    version = models.ForeignKey("surveys.CriteriaVersion", models.PROTECT, related_name="+")  # in force on done_on
    done_on = models.DateField()  # the site's day on which it was started; from paper, the day that the paper states
    started_at = models.DateTimeField()
    started_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    amends = models.ForeignKey("surveys.Survey", models.PROTECT, null=True, related_name="amendments")
    why = models.TextField(blank=True)  # what was wrong in the survey that it amends
    corrects = models.BooleanField(default=False)  # it began as a copy of what it amends, and keeps its day

    objects = DraftQuerySet.as_manager()

    class Meta:
        ordering = ["-started_at", "pk"]
        constraints = [
            models.CheckConstraint(
                name="draft_that_amends_says_why",
                condition=models.Q(amends__isnull=True, why="", corrects=False)
                | (models.Q(amends__isnull=False) & ~models.Q(why="")),
            )
        ]

    @property
    def from_paper(self) -> Any:
        """What is said of a survey that is typed in from paper; None of one that is measured with a tablet."""
        return getattr(self, "transcription", None)


class Revision(models.Model):
    """One save of a draft; never changed."""

    draft = models.ForeignKey(Draft, models.PROTECT, related_name="revisions")
    number = models.PositiveIntegerField()
    content = models.TextField()  # the survey document as entered, canonical JSON
    sha256 = models.CharField(max_length=64)
    form_id = models.CharField(max_length=64)  # the form that sent it
    made_from = models.PositiveIntegerField()  # the revision that the form was made from; 0: none
    device_at = models.DateTimeField(null=True)  # the device's clock when it was sent
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["draft", "number"]
        constraints = [models.UniqueConstraint(fields=["draft", "number"], name="revision_number_once_a_draft")]


class SetAside(models.Model):
    """A save that could not follow the last revision, kept beside it."""

    draft = models.ForeignKey(Draft, models.PROTECT, related_name="set_aside")
    content = models.TextField()
    sha256 = models.CharField(max_length=64)
    form_id = models.CharField(max_length=64)
    made_from = models.PositiveIntegerField()
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["draft", "at", "pk"]
