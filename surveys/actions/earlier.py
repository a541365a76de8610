"""Results from earlier records: brought in all or none, accepted as counting with a reason, withdrawn, struck."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions.refusal import Refused
from hoods.models import Entry, Person, Site
from hoods.queries import without_retired
from surveys import earlier
from surveys.accepting import lets, stood, versions_in_force
from surveys.actions.notices import tell_of_many
from surveys.core.status import Status
from surveys.earlier import Plan, Said
from surveys.models import (
    EarlierBatch,
    EarlierChange,
    EarlierCounted,
    EarlierOpening,
    EarlierResult,
)
from surveys.models.earlier import ACCEPTED, STRUCK, WITHDRAWN
from surveys.models.notice import EARLIER_ACCEPTED, EARLIER_WITHDRAWN

NAMED = 5  # hoods that a refusal names


class NotAsSeen(Refused):
    said = _("What the ledger has was changed since this was shown, and nothing is kept: look at it again.")


class NothingToKeep(Refused):
    said = _("This list changes nothing: there is nothing to keep.")


class NoWhy(Refused):
    said = _("Write the reason: it stands beside the list.")
    field = "why"


class CountsAlready(Refused):
    said = _("This list counts already.")


class CountsNot(Refused):
    said = _("This list does not count: there is nothing to withdraw.")


class IsStruck(Refused):
    said = _("This list is struck, and nothing is done with it any more: bring it in anew.")


class JudgedByNothing(Refused):
    said = _(
        "No criteria in force judge %(hoods)s: assign them first. When a hood is due again is a rule of its criteria, after "
        "an earlier result too."
    )


@transaction.atomic
def bring_in_results(
    *, site: Site, said: Sequence[Said], seen: str, name: str, sha256: str, by: Person, at: datetime
) -> tuple[EarlierBatch, Plan]:
    """Keeps what a list says, if that is what was seen (`Plan.digest`). It counts for nothing until it is accepted."""
    Site.objects.select_for_update().get(pk=site.pk)
    plan = earlier.plan(site, said, site.day_of(at))
    if plan.problems or plan.digest != seen:
        raise NotAsSeen()
    if not plan.does_something:
        raise NothingToKeep()
    batch = EarlierBatch.objects.create(site=site, name=name, sha256=sha256, at=at, by=by)
    results = EarlierResult.objects.bulk_create([_result(batch, one) for one in plan.added], batch_size=500)
    EarlierOpening.objects.bulk_create(
        [
            EarlierOpening(result=result, opening=opening, opening_name=opening.name, height=what.height,
                           average=what.average, lowest=what.lowest, points=what.points, approves=approves)
            for result, one in zip(results, plan.added, strict=True)
            for what, opening, approves in one.openings
        ],
        batch_size=500,
    )  # fmt: skip
    after = {"name": name, "results": len(results), "hoods": plan.hoods, "sha256": sha256}
    Entry.objects.add(by=by, at=at, action="earlier-results-brought-in", what=batch, after=after)
    return batch, plan


def _result(batch: EarlierBatch, one: earlier.Added) -> EarlierResult:
    said = one.said
    return EarlierResult(
        batch=batch, row=said.row, hood=one.hood, measured_on=said.measured_on,
        **{name: getattr(said, name) for name in earlier.WORDS},
    )  # fmt: skip


@transaction.atomic
def accept_results(*, batch: EarlierBatch, why: str, by: Person, at: datetime) -> EarlierChange:
    """Lets a list count for status and due, from this day on, by the criteria in force for each hood on it."""
    batch, last = _held(batch, why)
    if last == ACCEPTED:
        raise CountsAlready()
    results = list(batch.results.values_list("pk", "hood_id"))
    hoods, before = stood(batch, batch.site.day_of(at))
    versions = versions_in_force(hoods, batch.site.day_of(at))
    lacking = [hood.tag for hood in without_retired(hoods).order_by("tag") if hood.pk not in versions]
    if lacking:
        raise JudgedByNothing(hoods=_named(lacking))
    change = _changed(batch, ACCEPTED, "earlier-results-accepted", why, by, at)
    EarlierCounted.objects.bulk_create(
        [EarlierCounted(change=change, result_id=result, version_id=versions.get(hood)) for result, hood in results],
        batch_size=500,
    )
    _tell(EARLIER_ACCEPTED, change, before)
    return change


@transaction.atomic
def withdraw_acceptance(*, batch: EarlierBatch, why: str, by: Person, at: datetime) -> EarlierChange:
    """Lets an accepted list count no longer, from this day on."""
    batch, last = _held(batch, why)
    if last != ACCEPTED:
        raise CountsNot()
    return _ended(batch, WITHDRAWN, "earlier-results-withdrawn", why, by, at)


@transaction.atomic
def strike_results(*, batch: EarlierBatch, why: str, by: Person, at: datetime) -> EarlierChange:
    """Strikes a list that was brought in by mistake: it counts no longer, and no page of a hood shows it any more."""
    batch, _last = _held(batch, why)
    return _ended(batch, STRUCK, "earlier-results-struck", why, by, at)


def _ended(batch: EarlierBatch, kind: str, action: str, why: str, by: Person, at: datetime) -> EarlierChange:
    _hoods, before = stood(batch, batch.site.day_of(at))
    change = _changed(batch, kind, action, why, by, at)
    _tell(EARLIER_WITHDRAWN, change, before)
    return change


def _tell(kind: str, change: EarlierChange, before: Mapping[int, Status]) -> None:
    """Tell of the hoods of which other things hold since a change of their list, and of no other."""
    hoods, after = stood(change.batch, change.batch.site.day_of(change.at))
    told = [hood for hood in hoods.select_related("site") if lets(before[hood.pk]) != lets(after[hood.pk])]
    tell_of_many(kind=kind, hoods=told, earlier=change, by=change.by, at=change.at)


def _held(batch: EarlierBatch, why: str) -> tuple[EarlierBatch, str]:
    """The list, locked, and what last became of it; refused where it is struck or nothing is said why."""
    if not why.strip():
        raise NoWhy()
    batch = EarlierBatch.objects.select_for_update(of=("self",), no_key=True).select_related("site").get(pk=batch.pk)
    last = batch.changes.order_by("-at", "-pk").values_list("kind", flat=True).first() or ""
    if last == STRUCK:
        raise IsStruck()
    return batch, last


def _changed(batch: EarlierBatch, kind: str, action: str, why: str, by: Person, at: datetime) -> EarlierChange:
    change = EarlierChange.objects.create(batch=batch, kind=kind, why=why, at=at, by=by)
    Entry.objects.add(by=by, at=at, action=action, what=batch, after={"name": batch.name}, why=why)
    return change


def _named(tags: Sequence[str]) -> str:
    more = len(tags) - NAMED
    return ", ".join([*tags[:NAMED], *([f"+ {more}"] if more > 0 else [])])
