"""Register hoods, one or thousands: each with its code, its place, its openings and its entries in the log."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext_lazy as _

from hoods import queries
from hoods.actions import keeping
from hoods.actions.opening import OpeningNameTaken, refuse_cover, refuse_heights, refuse_same_size, refuse_set_back
from hoods.actions.refusal import AnotherSite, Refused
from hoods.core.code import new_code, read_as
from hoods.core.lower import Sized
from hoods.core.sameness import folded_tag
from hoods.models import Entry, ExhaustSystem, FormerName, Hood, HoodEvent, Opening, Person, Placement, Room, Site
from hoods.models.hood import CONTROLS, KINDS, MONITORS, SASHES, USES

FIELDS = (
    "kind", "control", "sash", "powered", "glass", "maker", "model", "serial", "interior_width",
    "work_surface_height", "uses_forbidden", "monitor", "set_point", "alarm_point",
)  # fmt: skip
GLASS = ("", "tempered", "laminated")
CHOICES = {"kind": KINDS, "control": CONTROLS, "sash": SASHES, "monitor": MONITORS, "glass": GLASS}
TOGETHER = 500  # rows that are written at a time


class TagTaken(Refused):
    said = _("Another hood of this site has this tag: choose another.")
    field = "tag"


class TagIsCode(Refused):
    said = _("A label of a hood has this tag for its code, and whoever types it is led to that hood: choose another.")
    field = "tag"


class NothingToMove(Refused):
    said = _("A hood without a sash has none for a motor to move: leave this out, or choose its sash.")
    field = "powered"


class NotThatDay(Refused):
    field = "on"


class DayToCome(NotThatDay):
    said = _("This day is still to come: write the day on which it was done.")


@dataclass(frozen=True)
class NewHood:
    """A hood as it is registered; `what` are fields of the hood, `openings` each as `add_opening` takes it."""

    tag: str
    room: Room
    on: date
    what: Mapping[str, Any] = field(default_factory=dict)
    openings: Sequence[Mapping[str, Any]] = ()
    exhaust: ExhaustSystem | None = None
    position: str = ""
    order: int = 0


def register_hood(
    *, site: Site, tag: str, room: Room, on: date, by: Person, at: datetime, exhaust: ExhaustSystem | None = None,
    position: str = "", order: int = 0, openings: Sequence[Mapping[str, Any]] = (), why: str = "", **what: Any,
) -> Hood:  # fmt: skip
    """Registers a hood installed on a day: its code, where it stands, its openings (each as `add_opening` takes it)."""
    new = NewHood(tag, room, on, what, openings, exhaust, position, order)
    return register_hoods(site=site, new=[new], by=by, at=at, why=why)[0]


@transaction.atomic
def register_hoods(*, site: Site, new: Sequence[NewHood], by: Person, at: datetime, why: str = "") -> list[Hood]:
    """Registers many hoods, all or none."""
    for one in new:
        check(one.what)
        if has_nothing_to_move(one.what.get("sash", "vertical"), one.what.get("powered", False)):
            raise NothingToMove()
        check_place(site, one.room, one.exhaust)
        if one.on > site.day_of(at):
            raise DayToCome()
    refuse_taken(site, [one.tag for one in new])
    codes = unused_codes(len(new), [one.tag for one in new])
    hoods: list[Hood] = []
    for start in range(0, len(new), TOGETHER):
        part = new[start : start + TOGETHER]
        made = [Hood(site=site, tag=one.tag, code=codes[start + at_], **one.what) for at_, one in enumerate(part)]
        _keep(part, made, by=by, at=at, why=why)
        hoods += made
    return hoods


def _keep(new: Sequence[NewHood], hoods: list[Hood], *, by: Person, at: datetime, why: str) -> None:
    try:
        with transaction.atomic():
            Hood.objects.bulk_create(hoods)
    except IntegrityError as error:
        raise TagTaken() from error
    openings = [opening for one, hood in zip(new, hoods, strict=True) for opening in openings_of(hood, one.openings)]
    Placement.objects.bulk_create(
        Placement(
            hood=hood, room=one.room, exhaust=one.exhaust, position=one.position, order=one.order, from_on=one.on,
            at=at, by=by, why=why,
        ) for one, hood in zip(new, hoods, strict=True)
    )  # fmt: skip
    HoodEvent.objects.bulk_create(
        HoodEvent(hood=hood, kind="installed", on=one.on, at=at, by=by, why=why)
        for one, hood in zip(new, hoods, strict=True)
    )
    Opening.objects.bulk_create(openings)
    registered = [keeping.entry_of(hood, action="hood-registered", by=by, at=at, why=why) for hood in hoods]
    added = [
        keeping.entry_of(opening, action="opening-added", by=by, at=at, why=why, what=opening.hood)
        for opening in openings
    ]
    Entry.objects.bulk_create([*registered, *added])


def openings_of(hood: Hood, given: Iterable[Mapping[str, Any]], others: Sequence[Opening] = ()) -> list[Opening]:
    """The openings that are added to a hood, after those that it has; refused where a name or a height cannot be."""
    last = max((other.order for other in others), default=0)
    made: list[Opening] = []
    for order, what in enumerate(given, start=last + 1):
        keeping.one_of(USES, what["use"], "use")
        keeping.refuse_alike(what["name"], [one.name for one in (*others, *made)], OpeningNameTaken)
        given_order = what.get("order")
        made.append(Opening(**{**what, "hood": hood, "order": order if given_order is None else given_order}))
    for at_, one in enumerate(made):
        refuse_set_back(hood, one)
        refuse_cover(one)
        refuse_same_size(one, (*others, *made[:at_]))
    if made:
        refuse_heights(Sized(one.name, one.use, one.height, one.way) for one in (*others, *made))
    return made


def check(what: Mapping[str, Any]) -> None:
    keeping.only(FIELDS, what)
    for name, choices in CHOICES.items():
        if name in what:
            keeping.one_of(choices, what[name], name)


def has_nothing_to_move(sash: str, powered: bool) -> bool:
    """Whether a motor is said to move the sash of a hood that has none."""
    return powered and sash == "none"


def check_place(site: Site, room: Room, exhaust: ExhaustSystem | None) -> None:
    if room.building.site_id != site.pk:
        raise AnotherSite(field="room")
    if exhaust is not None and exhaust.site_id != site.pk:
        raise AnotherSite(field="exhaust")


def refuse_taken(site: Site, tags: Sequence[str], but: Hood | None = None) -> None:
    """Refuses a tag that looks like one that a hood of the site has, or like another of these, or that is a hood's code."""
    others = Hood.objects.filter(site=site)
    others = others.exclude(pk=but.pk) if but else others
    taken = {folded_tag(tag) for tag in others.values_list("tag", flat=True)}
    for tag in tags:
        if folded_tag(tag) in taken:
            raise TagTaken()
        taken.add(folded_tag(tag))
    if queries.codes_among(tags):
        raise TagIsCode()


def unused_codes(number: int, tags: Iterable[str] = ()) -> list[str]:
    """So many codes that no hood has or ever had, and that no tag is read as, these among them."""
    chance, found = secrets.SystemRandom(), list[str]()
    in_tags = queries.codes_read_in_tags() | {read_as(tag) for tag in tags}
    while len(found) < number:
        drawn = {new_code(chance) for _ in range(min(number - len(found), TOGETHER))}
        drawn -= set(Hood.objects.filter(code__in=drawn).values_list("code", flat=True))
        drawn -= set(FormerName.objects.filter(kind="code", text__in=drawn).values_list("text", flat=True))
        found += sorted(drawn - in_tags - set(found))
    return found
