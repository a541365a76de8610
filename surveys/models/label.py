"""Labels: copies printed, and labels put on. Rows are only ever added."""

from __future__ import annotations

from django.db import models

from hoods.models import Person
from surveys.models.survey import Survey


class LabelCopy(models.Model):
    """One print of a survey's label, or of the sheet it stood on."""

    survey = models.ForeignKey(Survey, models.PROTECT, related_name="label_copies")
    sheet = models.CharField(max_length=40)  # '100x50' or the sheet's code
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["survey", "at", "pk"]


class LabelPutOn(models.Model):
    """A label put on the sash, and whether the old one was removed."""

    survey = models.ForeignKey(Survey, models.PROTECT, related_name="labels_put_on")
    issue = models.PositiveIntegerField()
    old_removed = models.BooleanField()
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["survey", "at", "pk"]
