"""Invite a person, give and end roles, disable a sign-in; nobody signs up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.contrib.auth.tokens import default_token_generator
from django.db import models, transaction
from django.dispatch import Signal
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode
from django.utils.translation import gettext_lazy as _

from hoods.actions import keeping
from hoods.actions.refusal import AnotherSite, Refused
from hoods.models import Entry, Person, Role, Room, Site
from hoods.models.people import LAB_MANAGER, PROGRAMME_MANAGER, ROLE_NAMES

#: Sent inside the transaction of an invitation, or of a new link, with `person`, `site`, `kind`, `by` and `at`: apps
#: that come later keep there what they tell the person.
person_invited = Signal()

#: Sent inside the transaction in which the address of somebody who was invited is mended, with `person`, `site`, `by`, `at`.
address_mended = Signal()

FIELDS = ("name", "initials", "position", "employer", "language")


class EmailTaken(Refused):
    said = _("Somebody has this address already: write another.")
    field = "email"


class OtherName(Refused):
    said = _(
        "Somebody of another name has this address: check it. If it is the same person, give the role on their page, or "
        "write the name as it is known."
    )
    field = "email"


class SignInDisabled(Refused):
    said = _("The sign-in of this person is disabled: enable it first.")
    field = "email"


class NoRoom(Refused):
    said = _("A lab manager has rooms: choose at least one.")
    field = "rooms"


class HasRole(Refused):
    said = _("This person has this role then already: choose other days, or end that role first.")
    field = "role"


class LastManager(Refused):
    said = _("Nobody else manages the programme of this site: give that role to somebody else first.")


class OfOtherSites(Refused):
    said = _("This person has roles at sites that you do not manage: end the roles here instead.")


class RoleDay(Refused):
    field = "until_on"


class SignsInAlready(Refused):
    said = _("This person has a password and signs in with this address: it is not changed by another.")
    field = "email"


@dataclass(frozen=True)
class Invited:
    """A person with a role and, for one who has no password yet, the path of the one-time link to set it."""

    person: Person
    link: str | None


@transaction.atomic
def invite_person(
    *, site: Site, email: str, name: str, initials: str, role: str, from_on: date, by: Person | None, at: datetime,
    rooms: Sequence[Room] = (), until_on: date | None = None, position: str = "", employer: str = "", why: str = "",
) -> Invited:  # fmt: skip
    """Adds a person, or finds the one who has this address, and gives the role.

    Whoever has signed in before keeps the name and the password: only a new person, or one who has never set a
    password and has no role elsewhere, is given a link.
    """
    email = email.strip().lower()
    person = Person.objects.filter(email__iexact=email).first()
    if person is None:
        person = Person(email=email, name=name, initials=initials, position=position, employer=employer)
        person.set_unusable_password()
        keeping.add(person, refusal=EmailTaken, action="person-invited", by=by, at=at, why=why)
    elif not person.is_active:
        raise SignInDisabled()
    elif person.name.casefold() != name.strip().casefold():
        raise OtherName()
    give_role(person=person, site=site, role=role, rooms=rooms, from_on=from_on, until_on=until_on, by=by, at=at)
    person_invited.send(sender=Person, person=person, site=site, kind="invited", by=by, at=at)
    return Invited(person, one_time_path(person) if needs_link(person, site) else None)


def needs_link(person: Person, site: Site) -> bool:
    """Whether somebody who is invited to a site still has a password to set, and no other site to set it for."""
    return not person.has_usable_password() and not person.roles.exclude(site=site).exists()


@transaction.atomic
def renew_link(*, person: Person, by: Person, at: datetime, why: str = "", site: Site | None = None) -> str:
    """A new one-time link for somebody who lost the link or the password; it ends when a password is set.

    With a site, it is also sent to the person, as from there.
    """
    person = Person.objects.select_for_update().get(pk=person.pk)
    _refuse_other_sites(person, by, at)
    if not person.is_active:
        raise SignInDisabled(field="")
    Entry.objects.add(by=by, at=at, action="link-made", what=person, why=why)
    if site is not None:
        person_invited.send(sender=Person, person=person, site=site, kind="link-made", by=by, at=at)
    return one_time_path(person)


def one_time_path(person: Person) -> str:
    """The path of the page where this person sets a password, once."""
    uid = urlsafe_base64_encode(force_bytes(person.pk))
    return reverse("set_password", kwargs={"uidb64": uid, "token": default_token_generator.make_token(person)})


@transaction.atomic
def change_person(*, person: Person, by: Person, at: datetime, why: str = "", **what: Any) -> Person:
    """Changes the printed name and what stands beside it; records keep what they were signed with."""
    keeping.only(FIELDS, what)
    person = Person.objects.select_for_update().get(pk=person.pk)
    if person.pk != by.pk:
        _refuse_other_sites(person, by, at)
    keeping.change(person, what, refusal=EmailTaken, action="person-changed", by=by, at=at, why=why)
    return person


@transaction.atomic
def mend_address(*, person: Person, site: Site, email: str, by: Person, at: datetime, why: str = "") -> Person:
    """Changes a mistyped address of somebody who was invited and has set no password yet; the invitation goes there anew.

    Links made for the old address end, since they are bound to it.
    """
    person = Person.objects.select_for_update().get(pk=person.pk)
    email = email.strip().lower()
    if person.email == email:
        return person
    _refuse_other_sites(person, by, at)
    if person.has_usable_password():
        raise SignsInAlready()
    if not person.is_active:
        raise SignInDisabled()
    if Person.objects.filter(email__iexact=email).exclude(pk=person.pk).exists():
        raise EmailTaken()
    keeping.change(person, {"email": email}, refusal=EmailTaken, action="address-mended", by=by, at=at, why=why)
    address_mended.send(sender=Person, person=person, site=site, by=by, at=at)
    return person


@transaction.atomic
def change_person_invited(
    *, person: Person, site: Site, email: str, by: Person, at: datetime, **what: Any
) -> Person:  # fmt: skip
    """Changes what is printed of somebody who was invited and, in the same step, a mistyped address."""
    person = change_person(person=person, by=by, at=at, **what)
    return mend_address(person=person, site=site, email=email, by=by, at=at)


@transaction.atomic
def give_role(
    *, person: Person, site: Site, role: str, from_on: date, by: Person | None, at: datetime,
    rooms: Sequence[Room] = (), until_on: date | None = None, why: str = "",
) -> list[Role]:  # fmt: skip
    """Gives a role at a site from a day on; a lab manager's is one row for each room."""
    keeping.one_of(ROLE_NAMES, role, "role")
    _check_days(site, from_on, until_on, at)
    if role == LAB_MANAGER and not rooms:
        raise NoRoom()
    if role != LAB_MANAGER and rooms:
        raise NoRoom(_("Only a lab manager has rooms: leave them out."))
    given = []
    places: Sequence[Room | None] = rooms or [None]
    for room in places:
        if room is not None and room.building.site_id != site.pk:
            raise AnotherSite(field="rooms")
        _refuse_twice(person, site, role, room, from_on, until_on)
        row = Role.objects.create(person=person, site=site, role=role, room=room, from_on=from_on, until_on=until_on)
        Entry.objects.add(by=by, at=at, action="role-given", what=person, after=keeping.as_dict(row), why=why)
        given.append(row)
    return given


@transaction.atomic
def end_role(*, role: Role, until_on: date, by: Person, at: datetime, why: str = "") -> Role:
    """Ends a role with a day, which it still holds on; one who has to stop at once is disabled."""
    _lock(Site.objects.filter(pk=role.site_id))
    role = Role.objects.select_for_update(of=("self",)).select_related("site", "person").get(pk=role.pk)
    today = role.site.day_of(at)
    if role.until_on is not None and role.until_on < today:
        raise RoleDay(_("This role has ended already."))
    if until_on < max(role.from_on, _day_before(today)):
        raise RoleDay(_("A role cannot end before it began, nor before yesterday: write a later day."))
    if role.role == PROGRAMME_MANAGER and not _managed_after(role.site, until_on, but=role.person):
        raise LastManager()
    before = keeping.plain(role.until_on)
    role.until_on = until_on
    role.save(update_fields=["until_on"])
    what = {"role": role.role, "site": role.site_id, "room": keeping.plain(role.room)}
    Entry.objects.add(
        by=by, at=at, action="role-ended", what=role.person, before={**what, "until_on": before},
        after={**what, "until_on": until_on.isoformat()}, why=why,
    )  # fmt: skip
    return role


@transaction.atomic
def disable_person(*, person: Person, by: Person, at: datetime, why: str) -> Person:
    """Ends a sign-in at once; what the person signed stays."""
    person = Person.objects.select_for_update().get(pk=person.pk)
    if person.pk == by.pk:
        raise Refused(_("You cannot disable your own sign-in: ask another programme manager."))
    _refuse_other_sites(person, by, at)
    managed = person.roles.filter(role=PROGRAMME_MANAGER).values("site")
    for site in _lock(Site.objects.filter(pk__in=managed)):
        if not _managed_after(site, site.day_of(at), but=person):
            raise LastManager()
    keeping.change(person, {"is_active": False}, refusal=Refused, action="person-disabled", by=by, at=at, why=why)
    return person


@transaction.atomic
def enable_person(*, person: Person, by: Person, at: datetime, why: str) -> Person:
    person = Person.objects.select_for_update().get(pk=person.pk)
    _refuse_other_sites(person, by, at)
    keeping.change(person, {"is_active": True}, refusal=Refused, action="person-enabled", by=by, at=at, why=why)
    return person


def _lock(sites: models.QuerySet[Site]) -> list[Site]:
    """Two last managers who leave at the same moment take turns, so that the second is refused."""
    return list(sites.select_for_update().order_by("pk"))


def _day_before(on: date) -> date:
    return date.fromordinal(on.toordinal() - 1)


def _check_days(site: Site, from_on: date, until_on: date | None, at: datetime) -> None:
    if from_on < site.day_of(at):
        raise RoleDay(_("A role cannot begin in the past: write today or a later day."), field="from_on")
    if until_on is not None and until_on < from_on:
        raise RoleDay(_("The last day is before the first: write a later one."))


def _refuse_twice(
    person: Person, site: Site, role: str, room: Room | None, from_on: date, until_on: date | None
) -> None:
    """Refuses a role that overlaps in time with the same role."""
    overlapping = person.roles.filter(site=site, role=role, room=room).exclude(until_on__lt=from_on)
    if until_on is not None:
        overlapping = overlapping.filter(from_on__lte=until_on)
    if overlapping.exists():
        raise HasRole()


def _refuse_other_sites(person: Person, by: Person, at: datetime) -> None:
    """Whoever has a role elsewhere is not one programme manager's to change: nobody opens another site that way."""
    for role in person.roles.select_related("site"):
        today = role.site.day_of(at)
        over = role.until_on is not None and role.until_on < today
        if not over and not any(
            held.in_effect(today) for held in by.roles.filter(site=role.site, role=PROGRAMME_MANAGER)
        ):
            raise OfOtherSites()


def _managed_after(site: Site, on: date, *, but: Person) -> bool:
    """Whether somebody else manages the programme of a site on the day after a day, and on."""
    return (
        Role.objects.filter(site=site, role=PROGRAMME_MANAGER, person__is_active=True, until_on__isnull=True)
        .filter(models.Q(from_on__lte=date.fromordinal(on.toordinal() + 1)))
        .exclude(person=but)
        .exists()
    )
