"""People and what they may do, by dated roles."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils.translation import gettext_lazy as _

TECHNICIAN = "technician"
LAB_MANAGER = "lab-manager"
AUDITOR = "auditor"
PROGRAMME_MANAGER = "programme-manager"

ROLE_NAMES = {
    TECHNICIAN: _("Technician"),
    LAB_MANAGER: _("Lab manager"),
    AUDITOR: _("Auditor"),
    PROGRAMME_MANAGER: _("Programme manager"),
}
#: Roles that see a whole site; a lab manager sees the rooms of the role alone.
SITE_ROLES = (TECHNICIAN, AUDITOR, PROGRAMME_MANAGER)


@dataclass(frozen=True)
class Standing:
    """What a person's roles in effect today come to."""

    roles: dict[int, frozenset[str]]  # site -> roles
    sites: frozenset[int]  # sites with any role
    whole_sites: frozenset[int]  # sites seen whole
    rooms: frozenset[int]  # rooms seen as lab manager
    places: tuple[Any, ...]  # the sites themselves, by name


class PersonManager(BaseUserManager):
    def create_user(self, email: str, password: str | None = None, **fields: Any) -> Person:
        person = self.model(email=self.normalize_email(email), **fields)
        person.set_password(password)
        person.save(using=self._db)
        return person


class Person(AbstractBaseUser):
    """Somebody who signs in; the printed name goes on certificates."""

    email = models.EmailField(unique=True)
    name = models.CharField(max_length=120)
    initials = models.CharField(max_length=8)
    position = models.CharField(max_length=120, blank=True)
    employer = models.CharField(max_length=120, blank=True)
    language = models.CharField(max_length=12, default="en")
    is_active = models.BooleanField(default=True)
    added_at = models.DateTimeField(auto_now_add=True)

    objects = PersonManager()

    acting_at: int | None = None  # the one site that this instance acts at; None: all

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS = ["name", "initials"]

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_full_name(self) -> str:
        return self.name

    def get_short_name(self) -> str:
        return self.initials

    @cached_property
    def standing(self) -> Standing:
        """The roles in effect today, each by the date of its own site; read once for each instance."""
        roles: dict[int, set[str]] = {}
        places: dict[int, Any] = {}
        whole, rooms = set(), set()
        if self.is_active and self.pk:
            for role in self.roles.select_related("site"):
                if self.acting_at not in (None, role.site_id) or not role.in_effect(role.site.today()):
                    continue
                places[role.site_id] = role.site
                roles.setdefault(role.site_id, set()).add(role.role)
                if role.role in SITE_ROLES:
                    whole.add(role.site_id)
                elif role.room_id:
                    rooms.add(role.room_id)
        return Standing(
            roles={site: frozenset(names) for site, names in roles.items()},
            sites=frozenset(roles),
            whole_sites=frozenset(whole),
            rooms=frozenset(rooms),
            places=tuple(sorted(places.values(), key=lambda site: site.name)),
        )

    def act_at(self, site: Any) -> None:
        """From now on, this instance has its roles at one site alone, so that those at another never count here."""
        if self.standing.sites != {site.pk}:
            self.acting_at = site.pk
            del self.standing

    def roles_at(self, site: Any) -> frozenset[str]:
        """Codes of the roles that this person has at a site today."""
        return self.standing.roles.get(getattr(site, "pk", site), frozenset())

    def has_role(self, site: Any, *roles: str) -> bool:
        return bool(self.roles_at(site) & set(roles))


class RoleQuerySet(models.QuerySet):
    def visible_to(self, person: Person) -> RoleQuerySet:
        return self.filter(site__in=_managed(person))


def _managed(person: Person) -> Iterable[int]:
    return [site for site, roles in person.standing.roles.items() if PROGRAMME_MANAGER in roles]


def people_visible_to(person: Person) -> models.QuerySet[Person]:
    """The people of the sites that this person manages, and the person."""
    return Person.objects.filter(models.Q(pk=person.pk) | models.Q(roles__site__in=_managed(person))).distinct()


class Role(models.Model):
    """What a person may do at a site, from a day until a day (inclusive); a lab manager's names one room."""

    person = models.ForeignKey(Person, models.PROTECT, related_name="roles")
    site = models.ForeignKey("hoods.Site", models.PROTECT, related_name="roles")
    role = models.CharField(max_length=40)
    room = models.ForeignKey("hoods.Room", models.PROTECT, null=True, blank=True, related_name="roles")
    from_on = models.DateField()
    until_on = models.DateField(null=True, blank=True)

    objects = RoleQuerySet.as_manager()

    class Meta:
        ordering = ["person", "site", "from_on", "pk"]
        constraints = [
            models.CheckConstraint(
                name="lab_manager_role_has_room",
                condition=models.Q(role=LAB_MANAGER, room__isnull=False)
                | (~models.Q(role=LAB_MANAGER) & models.Q(room__isnull=True)),
            ),
            models.CheckConstraint(
                name="role_ends_after_it_begins",
                condition=models.Q(until_on__isnull=True) | models.Q(until_on__gte=models.F("from_on")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person}: {self.role}"

    def in_effect(self, on: date) -> bool:
        return self.from_on <= on and (self.until_on is None or on <= self.until_on)
