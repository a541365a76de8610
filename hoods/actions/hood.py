"""Change and move a hood; retire, hibernate and wake it; take it out of service and bring it back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods import queries
from hoods.actions import ending, keeping
from hoods.actions.refusal import NotSo, Refused
from hoods.actions.registering import (
    DayToCome,
    NothingToMove,
    NotThatDay,
    TagTaken,
    check,
    check_place,
    has_nothing_to_move,
    refuse_taken,
    register_hood,
    unused_codes,
)
from hoods.actions.retired import refuse_retired
from hoods.core.set_back import cannot_be_set_back
from hoods.models import Entry, ExhaustSystem, FormerName, Hood, HoodEvent, Opening, Person, Placement, Room
from hoods.words import HAS_SET_BACK

__all__ = [
    "DayBeforeLast", "DayToCome", "NotSo", "NotThatDay", "TagTaken", "bring_back", "change_hood", "hibernate_hood",
    "move_hood", "register_hood", "replace_code", "retire_hood", "shift_hood", "take_out_of_service", "wake_hood",
]  # fmt: skip


class DayBeforeLast(NotThatDay):
    said = _("The last change before this one was on %(day)s: write that day or a later one.")


@transaction.atomic
def change_hood(*, hood: Hood, by: Person, at: datetime, tag: str | None = None, why: str = "", **what: Any) -> Hood:
    """Changes what is said of a hood; a replaced tag leads to it for ever, or to the hood that has it next.

    Another kind, control or sash ends the approval of every opening from that day on: it was given to the hood as it was.
    """
    check(what)
    hood = _locked(hood)
    refuse_retired(hood)
    moved = [(what.get("sash", hood.sash), what.get("powered", hood.powered)), (hood.sash, hood.powered)]
    if has_nothing_to_move(*moved[0]) and not has_nothing_to_move(*moved[1]):
        raise NothingToMove()
    _refuse_constant(hood, what.get("control", hood.control))
    if tag is not None and tag != hood.tag:
        refuse_taken(hood.site, [tag], but=hood)
        _former(hood, "tag", hood.tag, at)
        what["tag"] = tag
    changed = keeping.change(hood, what, refusal=TagTaken, action="hood-changed", by=by, at=at, why=why)
    ending.enter(ending.hood_events(hood, changed, by=by, at=at, why=why))
    return hood


@transaction.atomic
def replace_code(*, hood: Hood, by: Person, at: datetime, why: str) -> Hood:
    """Gives a hood a new code; the old one leads to it for ever and is never used again."""
    hood = _locked(hood)
    _former(hood, "code", hood.code, at)
    keeping.change(hood, {"code": unused_codes(1)[0]}, refusal=Refused, action="hood-code-replaced", by=by, at=at, why=why)
    return hood


@transaction.atomic
def move_hood(
    *, hood: Hood, room: Room, on: date, by: Person, at: datetime, exhaust: ExhaustSystem | None = None,
    position: str = "", order: int = 0, why: str = "",
) -> Placement:  # fmt: skip
    """Moves a hood to another place on a day: it is not to be used until it is surveyed there."""
    hood = _locked(hood)
    check_place(hood.site, room, exhaust)
    refuse_retired(hood)
    _refuse_day(hood, on, at, kinds=(*queries.LIFE, "moved"))
    before = hood.placement()
    if before and (before.room_id, before.exhaust_id, before.position) == (room.pk, exhaust and exhaust.pk, position):
        raise NotSo(_("The hood stands there already. One that was moved stands in another room or place."), field="room")
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
    check_place(hood.site, before.room, exhaust)
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


def _refuse_constant(hood: Hood, control: str) -> None:
    """Refuses a hood of one flow that has an opening for set-back; one that is kept so may stay."""
    for opening in hood.openings.all() if control != hood.control else ():
        if cannot_be_set_back(control, opening.use) and not cannot_be_set_back(hood.control, opening.use):
            raise NotSo(HAS_SET_BACK, field="control", opening=opening.name)


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
        by=placed.by, at=placed.at, action=action, what=hood, before=keeping.where(before) if before else None, after=keeping.where(placed),
        why=placed.why,
    )  # fmt: skip


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
