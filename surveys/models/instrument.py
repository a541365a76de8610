"""The anemometers and their calibrations."""

from __future__ import annotations

from datetime import date

from django.db import models

from hoods.models import Person, Site
from hoods.models.place import QUANTITY


class InstrumentQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> InstrumentQuerySet:
        return self.filter(site__in=person.standing.sites)


class Instrument(models.Model):
    site = models.ForeignKey(Site, models.PROTECT, related_name="instruments")
    name = models.CharField(max_length=60)  # the site's own mark on it: 'A-07'
    serial = models.CharField(max_length=60)
    kind = models.CharField(max_length=40, default="thermal-anemometer")  # or rotating-vane, other
    accuracy_percent = models.CharField(**QUANTITY)  # '3 %' of the reading
    accuracy_floor = models.CharField(**QUANTITY)  # or '3 ft/min', whichever is larger
    resolution = models.CharField(**QUANTITY)  # '1 ft/min': also says the unit that is read
    lowest = models.CharField(**QUANTITY)
    highest = models.CharField(**QUANTITY)
    velocity = models.CharField(max_length=12, default="actual")  # shows actual or standard velocity
    retired_on = models.DateField(null=True, blank=True)

    objects = InstrumentQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [models.UniqueConstraint(fields=["site", "name"], name="instrument_name_once_a_site")]

    def __str__(self) -> str:
        return self.name

    def calibration(self, on: date) -> Calibration | None:
        """The last calibration done by a day, whether or not it still covers it."""
        return self.calibrations.filter(done_on__lte=on).order_by("-done_on", "-pk").first()


class Calibration(models.Model):
    """A calibration: from the day it was done until the day it is due, both inclusive."""

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="calibrations")
    certificate = models.CharField(max_length=60)
    laboratory = models.CharField(max_length=120, blank=True)
    done_on = models.DateField()
    due_on = models.DateField()
    in_tolerance = models.BooleanField(null=True)  # as found at this calibration; null: not said
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["instrument", "done_on", "pk"]
        constraints = [
            models.CheckConstraint(
                name="calibration_due_after_done", condition=models.Q(due_on__gte=models.F("done_on"))
            ),
        ]

    def covers(self, on: date) -> bool:
        return self.done_on <= on <= self.due_on
