"""The hood, where it stands, its sash openings, and what happened to it."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db import models

from hoods.core.cover import Cover
from hoods.core.ending import ENDING
from hoods.core.panel import Slid
from hoods.core.part import of_another_sash
from hoods.models.people import Person
from hoods.models.place import QUANTITY, ExhaustSystem, Room, Site

KINDS = (
    "general", "high-performance", "auxiliary-air", "floor-mounted", "perchloric-acid",
    "radioisotope", "filtered", "canopy", "other",
)  # fmt: skip
CONTROLS = ("constant-volume", "bypass", "two-state", "variable-volume")
SASHES = ("vertical", "horizontal", "combination", "none")
MONITORS = ("none", "velocity", "flow", "pressure", "alarm-only")
USES = ("working", "lower", "full-open", "set-back", "other")
#: What may happen to a hood, as dated rows. An outage may name the day until which it is planned.
EVENTS = (
    "installed", "moved", "retired", "hibernated", "woken", "out-of-service", "back-in-service",
    "repaired", *ENDING, "overdue-explained",
)  # fmt: skip


class HoodQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> HoodQuerySet:
        standing = person.standing
        if not standing.rooms:
            return self.filter(site__in=standing.whole_sites)
        return self.with_room().filter(models.Q(site__in=standing.whole_sites) | models.Q(room_id__in=standing.rooms))

    def with_room(self, on: date | None = None) -> HoodQuerySet:
        """Adds `room_id`, the room where each hood stands (on a day, or by its last placement)."""
        if "room_id" in self.query.annotations:
            return self
        placements = Placement.objects.filter(hood=models.OuterRef("pk"))
        if on is not None:
            placements = placements.filter(from_on__lte=on)
        return self.annotate(
            room_id=models.Subquery(placements.order_by("-from_on", "-pk").values("room_id")[:1])
        )

    def on_exhaust(self, name: str) -> HoodQuerySet:
        """Those that the exhaust system of this name draws, in capitals or not: where each stands by its last placement."""
        placements = Placement.objects.filter(hood=models.OuterRef("pk")).order_by("-from_on", "-pk")
        fans = ExhaustSystem.objects.filter(name__iexact=name).order_by().values("pk")
        drawn_by = models.Subquery(placements.values("exhaust_id")[:1])
        return self.alias(drawn_by=drawn_by).filter(drawn_by__in=fans)

    def in_room(self, room: Room, on: date | None = None) -> HoodQuerySet:
        return self.with_room(on).filter(room_id=room.pk)


class Hood(models.Model):
    """A laboratory hood as it is now; what happened to it are its events, placements and surveys."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="hoods")
    tag = models.CharField(max_length=40)
    code = models.CharField(max_length=8, unique=True)  # printed on its label, never used again
    kind = models.CharField(max_length=40, default="general")
    control = models.CharField(max_length=40, default="constant-volume")
    sash = models.CharField(max_length=40, default="vertical")
    powered = models.BooleanField(default=False)  # the sash is moved by a motor
    glass = models.CharField(max_length=40, blank=True)  # tempered, laminated
    maker = models.CharField(max_length=120, blank=True)
    model = models.CharField(max_length=120, blank=True)
    serial = models.CharField(max_length=120, blank=True)
    interior_width = models.CharField(**QUANTITY)
    work_surface_height = models.CharField(**QUANTITY)
    uses_forbidden = models.TextField(blank=True)
    monitor = models.CharField(max_length=40, default="velocity")
    set_point = models.CharField(**QUANTITY)
    alarm_point = models.CharField(**QUANTITY)

    objects = HoodQuerySet.as_manager()

    class Meta:
        ordering = ["tag", "pk"]
        constraints = [models.UniqueConstraint(fields=["site", "tag"], name="hood_tag_once_a_site")]

    def __str__(self) -> str:
        return self.tag

    def placement(self, on: date | None = None) -> Placement | None:
        """Where the hood stands, by its last placement (until a day)."""
        placements = self.placements.select_related("room__building", "exhaust")
        if on is not None:
            placements = placements.filter(from_on__lte=on)
        return placements.order_by("-from_on", "-pk").first()


class FormerName(models.Model):
    """A tag or code that was replaced; it leads to the hood that has taken its place."""

    site = models.ForeignKey(Site, models.PROTECT, related_name="+")
    hood = models.ForeignKey(Hood, models.PROTECT, related_name="former_names")
    kind = models.CharField(max_length=8)  # tag or code
    text = models.CharField(max_length=40, db_index=True)
    until_at = models.DateTimeField()

    class Meta:
        ordering = ["-until_at", "-pk"]


class Placement(models.Model):
    """Where a hood stands from a day on; the last one holds."""

    hood = models.ForeignKey(Hood, models.PROTECT, related_name="placements")
    room = models.ForeignKey(Room, models.PROTECT, related_name="placements")
    exhaust = models.ForeignKey(ExhaustSystem, models.PROTECT, null=True, blank=True, related_name="placements")
    position = models.CharField(max_length=120, blank=True)  # 'second from the door'
    order = models.PositiveSmallIntegerField(default=0)  # the order in which the room is walked
    from_on = models.DateField()
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    why = models.TextField(blank=True)

    class Meta:
        ordering = ["hood", "from_on", "pk"]
        indexes = [
            models.Index(fields=["hood", "-from_on", "-id"], name="placement_last"),
            models.Index(fields=["room"], name="placement_room"),
        ]


class Opening(models.Model):
    """An opening of the sash at which the hood is measured. Changing it is an event that ends its approval (`core/ending.py`)."""

    hood = models.ForeignKey(Hood, models.PROTECT, related_name="openings")
    name = models.CharField(max_length=60)
    use = models.CharField(max_length=20, default="working")
    way = models.CharField(max_length=60, blank=True)  # which parts move: 'frame', 'left panel'
    width = models.CharField(**QUANTITY)
    height = models.CharField(**QUANTITY)
    cover = models.CharField(max_length=60, blank=True)  # what covers a part of it, in words: 'fixed panel'
    cover_left = models.CharField(**QUANTITY)  # from its left side, from its lower edge; empty is to the side
    cover_up = models.CharField(**QUANTITY)
    cover_width = models.CharField(**QUANTITY)
    cover_height = models.CharField(**QUANTITY)
    tested_every_survey = models.BooleanField(default=True)
    order = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["hood", "order", "pk"]
        constraints = [models.UniqueConstraint(fields=["hood", "name"], name="opening_name_once_a_hood")]

    def __str__(self) -> str:
        return self.name

    @property
    def covered(self) -> Cover | None:
        """What covers a part of it; None where nothing does."""
        if not self.cover:
            return None
        return Cover(self.cover, self.cover_left, self.cover_up, self.cover_width, self.cover_height)

    @property
    def of_another_sash(self) -> bool:
        """Whether it is kept as a part that the sash of its hood does not have."""
        return of_another_sash(self.hood.sash, self.way)

    @property
    def slid(self) -> Slid:
        """What tells it from another opening of its panel."""
        return Slid(self.name, self.way, self.width, self.height, self.covered)


class HoodEvent(models.Model):
    """Something that happened to a hood on a day."""

    hood = models.ForeignKey(Hood, models.PROTECT, related_name="events")
    kind = models.CharField(max_length=40)
    on = models.DateField()
    until_on = models.DateField(null=True, blank=True)  # of a planned outage: its last day
    opening = models.ForeignKey(Opening, models.PROTECT, null=True, blank=True, related_name="events")
    at = models.DateTimeField()
    by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    why = models.TextField(blank=True)

    class Meta:
        ordering = ["hood", "on", "at", "pk"]
        indexes = [models.Index(fields=["hood", "on"], name="hood_event_day")]

    def as_dict(self) -> dict[str, Any]:
        return {"kind": self.kind, "on": self.on.isoformat(), "until_on": self.until_on and self.until_on.isoformat()}
