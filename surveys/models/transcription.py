"""A survey that was measured with pen and paper, and typed in later. Rows are only ever added."""

from __future__ import annotations

from datetime import datetime, time

from django.db import models

from hoods.models import Person
from surveys.models.draft import Draft


class Transcription(models.Model):
    """That a draft is typed in from paper: who measured, on the day that the draft carries; who typed it in, and when."""

    draft = models.OneToOneField(Draft, models.PROTECT, primary_key=True, related_name="transcription")
    measured_by = models.CharField(max_length=120)  # in words, as it stood when this was kept
    person = models.ForeignKey(Person, models.PROTECT, null=True, related_name="+")  # where it is a person of the site
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(name="transcription_says_who_measured", condition=~models.Q(measured_by="")),
        ]

    @property
    def measured_at(self) -> datetime:
        """The day measured as a moment: its first, by the site's clock, since paper keeps none."""
        return datetime.combine(self.draft.done_on, time.min, self.draft.hood.site.zone)
