"""Places: site, building, room, and the exhaust system that serves hoods."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db import models
from django.utils import timezone

from hoods.models.people import Person

QUANTITY = {"max_length": 40, "blank": True, "default": ""}  # a number as typed and its unit: '18 in'


class SiteQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> SiteQuerySet:
        return self.filter(pk__in=person.standing.sites)


class Site(models.Model):
    """A campus: its clock, its units, and whom to call."""

    name = models.CharField(max_length=120, unique=True)
    time_zone = models.CharField(max_length=60, default="Europe/London")
    elevation = models.CharField(**QUANTITY)
    speed_unit = models.CharField(max_length=12, default="ft/min")  # ft/min or m/s, shown first
    length_unit = models.CharField(max_length=12, default="in")  # in or mm, shown first
    temperature_unit = models.CharField(max_length=12, default="degC")
    height_from = models.CharField(max_length=20, default="airfoil")  # airfoil or work-surface
    address = models.TextField(blank=True)
    office = models.CharField(max_length=120, blank=True)  # whom to call: 'Safety office'
    telephone = models.CharField(max_length=40, blank=True)
    emergency = models.TextField(blank=True)  # what to do in an emergency, in the site's own words
    emergency_telephone = models.CharField(max_length=40, blank=True)
    paper = models.CharField(max_length=12, default="A4")  # A4 or Letter
    printer_dpi = models.PositiveSmallIntegerField(default=300)  # the label printer's: 203 or 300

    objects = SiteQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.time_zone)

    def day_of(self, at: datetime) -> date:
        """The day that a moment falls on here."""
        return at.astimezone(self.zone).date()

    def today(self) -> date:
        """The day it is here now."""
        return self.day_of(timezone.now())


class BuildingQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> BuildingQuerySet:
        standing = person.standing
        return self.filter(
            models.Q(site__in=standing.whole_sites)
            | models.Exists(Room.objects.filter(building=models.OuterRef("pk"), pk__in=standing.rooms))
        )


class Building(models.Model):
    site = models.ForeignKey(Site, models.PROTECT, related_name="buildings")
    name = models.CharField(max_length=120)
    order = models.PositiveSmallIntegerField(default=0)  # the order in which rounds are walked

    objects = BuildingQuerySet.as_manager()

    class Meta:
        ordering = ["order", "name", "pk"]
        constraints = [models.UniqueConstraint(fields=["site", "name"], name="building_name_once_a_site")]

    def __str__(self) -> str:
        return self.name


class RoomQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> RoomQuerySet:
        standing = person.standing
        return self.filter(models.Q(building__site__in=standing.whole_sites) | models.Q(pk__in=standing.rooms))


class Room(models.Model):
    building = models.ForeignKey(Building, models.PROTECT, related_name="rooms")
    number = models.CharField(max_length=40)
    name = models.CharField(max_length=120, blank=True)
    floor = models.CharField(max_length=40, blank=True)
    department = models.CharField(max_length=120, blank=True)
    responsible = models.CharField(max_length=120, blank=True)  # the person who answers for the room
    hazards = models.TextField(blank=True)
    access = models.TextField(blank=True)
    order = models.PositiveSmallIntegerField(default=0)

    objects = RoomQuerySet.as_manager()

    class Meta:
        ordering = ["building__order", "building__name", "order", "number", "pk"]
        constraints = [models.UniqueConstraint(fields=["building", "number"], name="room_number_once_a_building")]

    def __str__(self) -> str:
        return f"{self.building.name} {self.number}"


class ExhaustSystemQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> ExhaustSystemQuerySet:
        return self.filter(site__in=person.standing.sites)


class ExhaustSystem(models.Model):
    """A fan and its duct, which one hood has alone or several share."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="exhaust_systems")
    name = models.CharField(max_length=60)
    words = models.TextField(blank=True)

    objects = ExhaustSystemQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [models.UniqueConstraint(fields=["site", "name"], name="exhaust_name_once_a_site")]

    def __str__(self) -> str:
        return self.name
