"""Register, change and move a hood; retire, hibernate and wake it; take it out of service and bring it back."""

from __future__ import annotations

import secrets
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods import queries
from hoods.actions import keeping
from hoods.actions.opening import add_opening
from hoods.actions.refusal import AnotherSite, NotSo, Refused
from hoods.actions.retired import refuse_retired
from hoods.core.code import new_code
from hoods.models import Entry, ExhaustSystem, FormerName, Hood, HoodEvent, Opening, Person, Placement, Room, Site
from hoods.models.hood import CONTROLS, KINDS, MONITORS, SASHES

FIELDS = (
    "kind", "control", "sash", "powered", "glass", "maker", "model", "serial", "interior_width",
    "work_surface_height", "uses_forbidden", "monitor", "set_point", "alarm_point",
)  # fmt: skip
GLASS = ("", "tempered", "laminated")
CHOICES = {"kind": KINDS, "control": CONTROLS, "sash": SASHES, "monitor": MONITORS, "glass": GLASS}


class TagTaken(Refused):
    said = _("Another hood of this site has this tag: choose another.")
    field = "tag"


class NotThatDay(Refused):
    field = "on"


class DayToCome(NotThatDay):
    said = _("This day is still to come: write the day on which it was done.")


class DayBeforeLast(NotThatDay):
    said = _("The last change before this one was on %(day)s: write that day or a later one.")


@transaction.atomic
def register_hood(
    *, site: Site, tag: str, room: Room, on: date, by: Person, at: datetime, exhaust: ExhaustSystem | None = None,
    position: str = "", order: int = 0, openings: Sequence[Mapping[str, Any]] = (), why: str = "", **what: Any,
) -> Hood:  # fmt: skip
    """Registers a hood installed on a day: its code, where it stands, its openings (each as `add_opening` takes it)."""
    _check(what)
    _check_place(site, room, exhaust)
    if on > site.day_of(at):
        raise DayToCome()
    _refuse_taken(site, tag)
    hood = Hood(site=site, tag=tag, code=_unused_code(), **what)
    keeping.add(hood, refusal=TagTaken, action="hood-registered", by=by, at=at, why=why)
    _place(hood, room=room, exhaust=exhaust, position=position, order=order, on=on, by=by, at=at, why=why)
    _happened(hood, "installed", on=on, by=by, at=at, why=why)
    for opening in openings:
        add_opening(hood=hood, by=by, at=at, **opening)
    return hood


@transaction.atomic
def change_hood(*, hood: Hood, by: Person, at: datetime, tag: str | None = None, why: str = "", **what: Any) -> Hood:
    """Changes what is said of a hood; a replaced tag leads to it for ever, or to the hood that has it next."""
    _check(what)
    hood = _locked(hood)
    refuse_retired(hood)
    if tag is not None and tag != hood.tag:
        _refuse_taken(hood.site, tag, but=hood)
        _former(hood, "tag", hood.tag, at)
        what["tag"] = tag
    keeping.change(hood, what, refusal=TagTaken, action="hood-changed", by=by, at=at, why=why)
    return hood


@transaction.atomic
def replace_code(*, hood: Hood, by: Person, at: datetime, why: str) -> Hood:
    """Gives a hood a new code; the old one leads to it for ever and is never used again."""
    hood = _locked(hood)
    _former(hood, "code", hood.code, at)
    keeping.change(hood, {"code": _unused_code()}, refusal=Refused, action="hood-code-replaced", by=by, at=at, why=why)
    return hood


@transaction.atomic
def move_hood(
    *, hood: Hood, room: Room, on: date, by: Person, at: datetime, exhaust: ExhaustSystem | None = None,
    position: str = "", order: int = 0, why: str = "",
) -> Placement:  # fmt: skip
    """Moves a hood to another place on a day: it is not to be used until it is surveyed there."""
    hood = _locked(hood)
    _check_place(hood.site, room, exhaust)
    refuse_retired(hood)
    _refuse_day(hood, on, at, kinds=(*queries.LIFE, "moved"))
    before = hood.placement()
    placed = _place(hood, room=room, exhaust=exhaust, position=position, order=order, on=on, by=by, at=at, why=why)
    _happened(hood, "moved", on=on, by=by, at=at, why=why)
    _enter_place(hood, "hood-moved", before, placed)
    return placed


@transaction.atomic
def shift_hood(
    *, hood: Hood, by: Person, at: datetime, exhaust: ExhaustSystem | None = None, position: str = "",
    order: int = 0, why: str = "",
) -> Placement:  # fmt: skip
    """Says anew where in its room the hood stands and which exhaust serves it. It has not moved: its survey stands."""
    hood = _locked(hood)
    refuse_retired(hood)
    before = hood.placement()
    if before is None:
        raise NotSo(_("This hood stands in no room: move it to one."))
    _check_place(hood.site, before.room, exhaust)
    on = max(before.from_on, hood.site.day_of(at))
    placed = _place(
        hood, room=before.room, exhaust=exhaust, position=position, order=order, on=on, by=by, at=at, why=why
    )
    _enter_place(hood, "hood-place-corrected", before, placed)
    return placed


@transaction.atomic
def retire_hood(*, hood: Hood, on: date, why: str, by: Person, at: datetime) -> HoodEvent:
    """Retires a hood for ever; its records stay, its code leads to them."""
    hood = _locked(hood)
    refuse_retired(hood)
    _refuse_day(hood, on, at)
    return _entered(hood, "retired", "hood-retired", on=on, by=by, at=at, why=why)


@transaction.atomic
def hibernate_hood(*, hood: Hood, on: date, why: str, by: Person, at: datetime) -> HoodEvent:
    """Sets a hood aside, closed and marked, until it is woken."""
    hood = _locked(hood)
    refuse_retired(hood)
    if queries.life(hood) == "hibernated":
        raise NotSo(_("This hood is hibernated already."))
    _refuse_day(hood, on, at)
    return _entered(hood, "hibernated", "hood-hibernated", on=on, by=by, at=at, why=why)


@transaction.atomic
def wake_hood(*, hood: Hood, on: date, by: Person, at: datetime, why: str = "") -> HoodEvent:
    """Wakes a hibernated hood: it is not to be used until it is surveyed."""
    hood = _locked(hood)
    if queries.life(hood) != "hibernated":
        raise NotSo(_("This hood is not hibernated: there is nothing to wake."))
    _refuse_day(hood, on, at)
    return _entered(hood, "woken", "hood-woken", on=on, by=by, at=at, why=why)


@transaction.atomic
def take_out_of_service(
    *, hood: Hood, on: date, why: str, by: Person, at: datetime, until_on: date | None = None
) -> HoodEvent:
    """Takes a hood out of service from a day, which may be to come, planned until a day (inclusive) or open."""
    hood = _locked(hood)
    refuse_retired(hood)
    if until_on is not None and until_on < on:
        raise NotThatDay(_("The last day is before the first: write a later one."), field="until_on")
    if queries.outage(hood, hood.site.day_of(at)) is not None:
        raise NotSo(_("This hood is out of service already, or will be: bring it back first."))
    _refuse_before(hood, on, kinds=(*queries.LIFE, "out-of-service", "back-in-service"))
    return _entered(
        hood, "out-of-service", "hood-taken-out-of-service", on=on, until_on=until_on, by=by, at=at, why=why
    )


@transaction.atomic
def bring_back(*, hood: Hood, on: date, by: Person, at: datetime, why: str = "") -> HoodEvent:
    """Ends an outage on a day, before its planned end or after."""
    hood = _locked(hood)
    today = hood.site.day_of(at)
    outage = queries.outage(hood, today)
    if outage is None:
        raise NotSo(_("This hood is not out of service: there is nothing to bring back."))
    if on > today:
        raise DayToCome()
    if outage.on > today:
        on = outage.on  # one still to come is called off: it ends on the day on which it would have begun
    elif on < outage.on:
        raise DayBeforeLast(day=_day(outage.on))
    return _entered(hood, "back-in-service", "hood-brought-back", on=on, by=by, at=at, why=why)


def _locked(hood: Hood) -> Hood:
    return Hood.objects.select_for_update(of=("self",)).select_related("site").get(pk=hood.pk)


def _check(what: Mapping[str, Any]) -> None:
    keeping.only(FIELDS, what)
    for field, choices in CHOICES.items():
        if field in what:
            keeping.one_of(choices, what[field], field)


def _check_place(site: Site, room: Room, exhaust: ExhaustSystem | None) -> None:
    if room.building.site_id != site.pk:
        raise AnotherSite(field="room")
    if exhaust is not None and exhaust.site_id != site.pk:
        raise AnotherSite(field="exhaust")


def _refuse_taken(site: Site, tag: str, but: Hood | None = None) -> None:
    others = Hood.objects.filter(site=site)
    others = others.exclude(pk=but.pk) if but else others
    keeping.refuse_alike(tag, others.values_list("tag", flat=True), TagTaken)


def _unused_code() -> str:
    """A code that no hood has or ever had."""
    while True:
        code = new_code(secrets.SystemRandom())
        if (
            not Hood.objects.filter(code=code).exists()
            and not FormerName.objects.filter(kind="code", text=code).exists()
        ):
            return code


def _former(hood: Hood, kind: str, text: str, at: datetime) -> None:
    FormerName.objects.create(site=hood.site, hood=hood, kind=kind, text=text, until_at=at)


def _place(hood: Hood, *, on: date, **where: Any) -> Placement:
    return Placement.objects.create(hood=hood, from_on=on, **where)


def _happened(
    hood: Hood, kind: str, *, on: date, by: Person, at: datetime, why: str, until_on: date | None = None,
    opening: Opening | None = None,
) -> HoodEvent:  # fmt: skip
    return HoodEvent.objects.create(
        hood=hood, kind=kind, on=on, until_on=until_on, opening=opening, by=by, at=at, why=why
    )


def _entered(hood: Hood, kind: str, action: str, *, by: Person, at: datetime, why: str, **when: Any) -> HoodEvent:
    event = _happened(hood, kind, by=by, at=at, why=why, **when)
    Entry.objects.add(by=by, at=at, action=action, what=hood, after=event.as_dict(), why=why)
    return event


def _enter_place(hood: Hood, action: str, before: Placement | None, placed: Placement) -> None:
    Entry.objects.add(
        by=placed.by, at=placed.at, action=action, what=hood, before=_where(before) if before else None, after=_where(placed),
        why=placed.why,
    )  # fmt: skip


def _where(placement: Placement) -> dict[str, Any]:
    kept = ("room", "exhaust", "position", "order", "from_on")
    return {name: keeping.plain(getattr(placement, name)) for name in kept}


def _refuse_day(hood: Hood, on: date, at: datetime, kinds: Sequence[str] = queries.LIFE) -> None:
    if on > hood.site.day_of(at):
        raise DayToCome()
    _refuse_before(hood, on, kinds)


def _refuse_before(hood: Hood, on: date, kinds: Sequence[str]) -> None:
    last = queries.last_event(hood, kinds)
    if last is not None and on < last.on:
        raise DayBeforeLast(day=_day(last.on))


def _day(on: date) -> str:
    return f"{on.day} {on:%b} {on.year}".upper()
