"""Whether hoods are there to be surveyed on a day, and by which criteria."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.core.part import lacks_part, of_another_sash
from hoods.models import Hood, HoodEvent, Opening, Placement
from hoods.queries import LIFE
from surveys.models import Assignment, CriteriaSet, CriteriaVersion


class NotToBeSurveyed(Refused):
    """The hood is not there to be surveyed, or nothing says by what it would be judged."""

    field = "hood"


class NoPart(NotToBeSurveyed):
    """Of an opening nobody has said which part of the sash it is: its label could not say what stays closed."""

    said = _(
        "Nobody has said which part of its sash the opening “%(opening)s” of hood %(hood)s is. The programme manager says so "
        "in the inventory of the hood; then it is surveyed."
    )


class OfAnotherSash(NoPart):
    """An opening is kept as a part that the sash of today does not have: it was measured at a sash that is gone."""

    said = _(
        "The opening “%(opening)s” of hood %(hood)s is a part of a sash that the hood no longer has. The programme manager puts "
        "its openings right in the inventory of the hood; then it is surveyed."
    )


def versions_in_force(hoods: Sequence[Hood], on: date) -> dict[int, CriteriaVersion]:
    """The criteria version that judges each hood on a day, or a refusal that says what is missing."""
    rows = Assignment.objects.filter(hood__in=hoods, from_on__lte=on).select_related("set")
    assigned = {row.hood_id: row.set for row in rows.order_by("from_on", "pk")}
    versions: dict[int, CriteriaVersion | None] = {}
    found = {}
    for hood in hoods:
        chosen: CriteriaSet | None = assigned.get(hood.pk)
        if chosen is None:
            raise NotToBeSurveyed(
                _(
                    "No criteria are chosen for hood %(hood)s: the programme manager assigns a set first, from the hood's page."
                ),
                hood=hood.tag,
            )
        if chosen.pk not in versions:
            versions[chosen.pk] = chosen.in_force(on)
        version = versions[chosen.pk]
        if version is None:
            raise NotToBeSurveyed(
                _("No version of the criteria '%(set)s' is in force today: the programme manager adopts one first."),
                set=chosen.name,
            )
        found[hood.pk] = version
    return found


def version_in_force(hood: Hood, on: date) -> CriteriaVersion:
    return versions_in_force([hood], on)[hood.pk]


def refuse_if_not_there(hood: Hood, on: date) -> None:
    refuse_those_not_there([hood], on)


def refuse_those_not_there(hoods: Sequence[Hood], on: date) -> None:
    placed = set(Placement.objects.filter(hood__in=hoods, from_on__lte=on).order_by().values_list("hood", flat=True))
    installed: dict[int, date] = {}
    life: dict[int, str] = {}
    for event in HoodEvent.objects.filter(hood__in=hoods, kind__in=LIFE).order_by("on", "at", "pk"):
        if event.kind == "installed":
            installed.setdefault(event.hood_id, event.on)
        if event.on <= on:
            life[event.hood_id] = event.kind
    for hood in hoods:
        _refuse(hood, on, placed=hood.pk in placed, installed=installed.get(hood.pk), life=life.get(hood.pk))


def _refuse(hood: Hood, on: date, *, placed: bool, installed: date | None, life: str | None) -> None:
    if not placed:
        raise NotToBeSurveyed(
            _("Hood %(hood)s was not there yet on %(day)s: look at the day on which it was installed."),
            hood=hood.tag, day=on.isoformat(),
        )  # fmt: skip
    if installed is not None and on < installed:
        raise NotToBeSurveyed(
            _("Hood %(hood)s was installed on %(day)s: it cannot be surveyed before."),
            hood=hood.tag, day=installed.isoformat(),
        )  # fmt: skip
    if life == "retired":
        raise NotToBeSurveyed(_("Hood %(hood)s is retired: no survey can make it usable."), hood=hood.tag)
    if life == "hibernated":
        raise NotToBeSurveyed(
            _("Hood %(hood)s is hibernated: the programme manager wakes it on its page first, then it is surveyed."), hood=hood.tag
        )


def refuse_if_no_part(hoods: Sequence[Hood]) -> None:
    """Refuses a hood that is measured at an opening of which nothing says what of its sash is moved, and what stays closed."""
    named = {hood.pk: hood for hood in hoods}
    for opening in Opening.objects.filter(hood__in=hoods).order_by("hood", "order", "pk"):
        hood = named[opening.hood_id]
        if lacks_part(hood.sash, opening.use, opening.way, opening.name):
            refusal = OfAnotherSash if of_another_sash(hood.sash, opening.way) else NoPart
            raise refusal(opening=opening.name, hood=hood.tag)
