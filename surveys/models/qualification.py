"""What a surveyor is qualified for, by whom and until when. Rows are only ever added."""

from __future__ import annotations

from django.db import models

from hoods.models import Person, Site


class Qualification(models.Model):
    """A method that somebody was found able to carry out, from a day until a day (both inclusive)."""

    person = models.ForeignKey(Person, models.PROTECT, related_name="qualifications")
    site = models.ForeignKey(Site, models.PROTECT, related_name="qualifications")
    method = models.CharField(max_length=120)  # 'face velocity by traverse'
    qualified_by = models.CharField(max_length=120)  # who found so: a person or a course
    from_on = models.DateField()
    until_on = models.DateField(null=True)
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["person", "from_on", "pk"]
        constraints = [
            models.CheckConstraint(
                name="qualification_ends_after_it_begins",
                condition=models.Q(until_on__isnull=True) | models.Q(until_on__gte=models.F("from_on")),
            ),
        ]
