"""Keep a list of hoods: everything that its plan says, all or none, each with its entry in the log."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext_lazy as _

from hoods import inventory
from hoods.actions import ending, keeping
from hoods.actions.place import add_building, add_exhaust, add_room
from hoods.actions.refusal import Refused
from hoods.actions.registering import TOGETHER, NewHood, check, openings_of, register_hoods
from hoods.core.ending import of_opening
from hoods.inventory import Plan
from hoods.inventory_changes import Changed
from hoods.inventory_said import Said
from hoods.models import Building, Entry, ExhaustSystem, Hood, HoodEvent, Opening, Person, Placement, Room, Site


class NotAsSeen(Refused):
    said = _("What the site has was changed since this was shown, and nothing is kept: look at it again.")


def keep_list(
    *, site: Site, said: Sequence[Said], seen: str, by: Person, at: datetime, why: str = "",
    told: Callable[[int, int], None] = lambda written, of: None,
) -> Plan:  # fmt: skip
    """Adds and changes what a list says, if that is what was seen (`Plan.digest`); `told` hears how many of how many."""
    for written, plan in keep_in_parts(site=site, said=said, seen=seen, by=by, at=at, why=why):
        told(written, plan.hoods)
    return plan


def keep_in_parts(
    *, site: Site, said: Sequence[Said], seen: str, by: Person, at: datetime, why: str = ""
) -> Iterator[tuple[int, Plan]]:
    """As `keep_list`, telling how many hoods are written before the first part and after each.

    All of it is one transaction, which is open until the last is drawn: whoever draws no further keeps nothing.
    """
    try:
        with transaction.atomic():
            Site.objects.select_for_update().get(pk=site.pk)
            plan = inventory.plan(site, said, site.day_of(at), lock=True)
            if plan.problems or plan.digest != seen:
                raise NotAsSeen()
            yield 0, plan
            for written in _carried_out(plan, by=by, at=at, why=why):
                yield written, plan
    except IntegrityError as error:  # somebody added the same name while this was written
        raise NotAsSeen() from error


def _carried_out(plan: Plan, *, by: Person, at: datetime, why: str) -> Iterator[int]:
    """Carries a plan out, and says after each part how many hoods are written."""
    rooms, exhausts = _keep_places(plan, by=by, at=at, why=why)
    new = [_new(one, rooms, exhausts) for one in plan.added]
    for start in range(0, len(new), TOGETHER):
        part = new[start : start + TOGETHER]
        register_hoods(site=plan.site, new=part, by=by, at=at, why=why)
        yield start + len(part)
    ended: list[HoodEvent] = []
    for start in range(0, len(plan.changed), TOGETHER):
        changed = plan.changed[start : start + TOGETHER]
        ended += _change(changed, exhausts, by=by, at=at, why=why)
        yield len(new) + start + len(changed)
    ending.enter(ended)


def _keep_places(
    plan: Plan, *, by: Person, at: datetime, why: str
) -> tuple[dict[tuple[str, str], Room], dict[str, ExhaustSystem]]:
    """Every room and exhaust of the site by its name, those of the plan among them."""
    site, kept = plan.site, dict[str, Any](by=by, at=at, why=why)
    for name in plan.buildings:
        add_building(site=site, name=name, **kept)
    buildings = {building.name: building for building in Building.objects.filter(site=site)}
    for (building, number), what in plan.rooms.items():
        add_room(building=buildings[building], number=number, **what, **kept)
    for name in plan.exhausts:
        add_exhaust(site=site, name=name, **kept)
    rooms = Room.objects.filter(building__site=site).select_related("building")
    return (
        {(room.building.name, room.number): room for room in rooms},
        {exhaust.name: exhaust for exhaust in ExhaustSystem.objects.filter(site=site)},
    )


def _new(one: Said, rooms: Mapping[tuple[str, str], Room], exhausts: Mapping[str, ExhaustSystem]) -> NewHood:
    assert one.on is not None
    place = dict(one.place)
    exhaust = exhausts.get(place.pop("exhaust", ""))
    openings = [{"name": each.name, **each.what} for each in one.openings]
    return NewHood(one.tag, rooms[one.building, one.room], one.on, one.hood, openings, exhaust, **place)


# Hoods that the site has --------------------------------------------------------------------------------------------


def _change(
    changed: Sequence[Changed], exhausts: Mapping[str, ExhaustSystem], *, by: Person, at: datetime, why: str
) -> list[HoodEvent]:
    """Changes hoods as `change_hood`, `shift_hood`, `change_opening` and `add_opening` do, with the same entries.

    Gives the events of what ended approvals, to be entered together.
    """
    entries: list[Entry] = []
    ended: list[HoodEvent] = []
    placements: list[Placement] = []
    for one in changed:
        hood = one.kept.hood
        if one.hood:
            check(one.hood)
            before, after = keeping.set_values(hood, one.hood)
            hood.save(update_fields=list(one.hood))
            entries.append(_entry(hood, "hood-changed", before, after, by=by, at=at, why=why))
            ended += ending.hood_events(hood, one.hood, by=by, at=at, why=why)
        if one.place and one.kept.placement is not None:
            placed = _placed(one, one.kept.placement, exhausts, by=by, at=at, why=why)
            placements.append(placed)
            before, after = keeping.where(one.kept.placement), keeping.where(placed)
            entries.append(_entry(hood, "hood-place-corrected", before, after, by=by, at=at, why=why))
    Placement.objects.bulk_create(placements)
    entries += _change_openings(changed, ended, by=by, at=at, why=why)
    Entry.objects.bulk_create(entries)
    return ended


def _placed(
    one: Changed, before: Placement, exhausts: Mapping[str, ExhaustSystem], *, by: Person, at: datetime, why: str
) -> Placement:
    """The hood has not moved: it stands in its room, only said anew, and its survey stands."""
    what = {**one.kept.place, **one.place}
    return Placement(
        hood=one.kept.hood, room=before.room, exhaust=exhausts.get(what["exhaust"]), position=what["position"],
        order=what["order"], from_on=max(before.from_on, one.kept.hood.site.day_of(at)), at=at, by=by, why=why,
    )  # fmt: skip


def _change_openings(
    changed: Iterable[Changed], ended: list[HoodEvent], *, by: Person, at: datetime, why: str
) -> list[Entry]:
    entries: list[Entry] = []
    added: list[Opening] = []
    for one in changed:
        hood = one.kept.hood
        for opening, what in one.openings:
            if of_opening(opening, what):
                ended.append(ending.opening_event(hood, opening, by=by, at=at, why=why))
            before, after = keeping.set_values(opening, what)
            opening.save(update_fields=list(what))
            about = {**after, "opening": opening.name}
            entries.append(_entry(hood, "opening-changed", before, about, by=by, at=at, why=why))
        added += openings_of(hood, [{"name": each.name, **each.what} for each in one.added], one.kept.openings)
    Opening.objects.bulk_create(added)
    entries += [
        keeping.entry_of(opening, action="opening-added", by=by, at=at, why=why, what=opening.hood) for opening in added
    ]
    return entries


def _entry(
    hood: Hood, action: str, before: dict[str, Any], after: dict[str, Any], *, by: Person, at: datetime, why: str
) -> Entry:
    return Entry(by=by, at=at, action=action, thing="hood", thing_id=str(hood.pk), before=before, after=after, why=why)
