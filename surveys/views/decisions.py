"""What the first page asks of a site, in one query: what waits for a decision of the programme manager, and since when it surveys."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.db.models import Count, Exists, IntegerField, Max, OuterRef, Q, QuerySet, Subquery, Value
from django.db.models.functions import Coalesce
from django.utils.translation import ngettext

from hoods.models import Hood, HoodEvent, Person, Role, Site
from surveys.models import Assignment, CriteriaVersion, Instrument, Notice, Stop, Survey
from surveys.views.finding_told import waiting

AHEAD = timedelta(days=30)  # before a calibration ends, another is arranged
RECENT = timedelta(days=30)  # a mail that was given up stays in sight


@dataclass(frozen=True, slots=True)
class Decision:
    """Something that waits, in a sentence, and the view where it is decided."""

    sentence: str
    view: str
    query: str = ""


def asked_of(
    site: Site, today: date, hoods: QuerySet[Hood], *, manages: bool, audits: bool
) -> tuple[list[Decision], date | None]:
    """In one query: for who manages, what waits at a site; for who audits, the day of the first survey of these hoods."""
    if not (manages or audits):
        return [], None
    waits = (
        _unhung(site), _unowned(site), _unjudged(site), _drafts(site), _uncalibrated(site, today), _unsent(site, today),
        _given_up(site, today), _without_password(site, today),
    )  # fmt: skip
    asked = [*([_first(hoods)] if audits else []), *(_number(rows) for rows in (waits if manages else ()))]
    numbers = list(Site.objects.filter(pk=site.pk).order_by().values_list(*asked).get())
    first = numbers.pop(0) if audits else None
    return decisions(*numbers) if manages else [], first


def _first(hoods: QuerySet[Hood]) -> Subquery:
    seen = Survey.objects.filter(Exists(hoods.order_by().filter(pk=OuterRef("hood"))))
    return Subquery(seen.order_by("done_on", "record_id").values("done_on")[:1])


def decisions(
    unhung: int, unowned: int, unjudged: int, drafts: int, uncalibrated: int, unsent: int, given_up: int, without_password: int
) -> list[Decision]:
    """Everything that waits, in the order in which it presses; nothing where nothing does."""
    found = (
        (unhung, "surveys:hood_list?show=stopped", ngettext(
            "On %(n)s hood ‘Do not use’ is posted and nobody has said that the sign hangs.",
            "On %(n)s hoods ‘Do not use’ is posted and nobody has said that the sign hangs.", unhung)),
        (unowned, "surveys:finding_list", ngettext(
            "%(n)s open finding has nobody who sees to it.", "%(n)s open findings have nobody who sees to them.",
            unowned)),
        (unjudged, "surveys:assign_criteria", ngettext(
            "%(n)s hood is judged by no criteria: choose a set for it.",
            "%(n)s hoods are judged by no criteria: choose a set for them.", unjudged)),
        (drafts, "surveys:criteria_list", ngettext(
            "%(n)s draft of criteria is not adopted.", "%(n)s drafts of criteria are not adopted.", drafts)),
        (uncalibrated, "surveys:instrument_list", ngettext(
            "The calibration of %(n)s instrument is over or ends within 30 days.",
            "The calibrations of %(n)s instruments are over or end within 30 days.", uncalibrated)),
        (unsent, "surveys:notice_list", ngettext(
            "%(n)s mail has not gone out yet.", "%(n)s mails have not gone out yet.", unsent)),
        (given_up, "surveys:notice_list", ngettext(
            "%(n)s mail of the last 30 days was given up: see whether somebody else has to be told.",
            "%(n)s mails of the last 30 days were given up: see whether somebody else has to be told.", given_up)),
        (without_password, "hoods:people", ngettext(
            "%(n)s person who was invited has set no password yet.",
            "%(n)s people who were invited have set no password yet.", without_password)),
    )  # fmt: skip
    return [Decision(sentence % {"n": number}, *view.partition("?")[::2]) for number, view, sentence in found if number]


def _number(rows: QuerySet) -> Coalesce:
    """How many rows a query has, as part of another."""
    counted = rows.order_by().annotate(all=Value(1)).values("all").annotate(n=Count("pk", distinct=True)).values("n")
    return Coalesce(Subquery(counted, output_field=IntegerField()), 0)


def _unhung(site: Site) -> QuerySet:
    return Hood.objects.filter(site=site, stops__in=Stop.objects.up().exclude(changes__kind="hung"))


def _unowned(site: Site) -> QuerySet:
    return waiting().filter(hood__site=site).exclude(changes__owner__gt="")


def _unjudged(site: Site) -> QuerySet:
    """Hoods that could be surveyed, had they criteria."""
    last = HoodEvent.objects.filter(hood=OuterRef("pk"), kind__in=("installed", "retired", "hibernated", "woken"))
    hoods = Hood.objects.filter(site=site).annotate(
        life=Subquery(last.order_by("-on", "-at", "-pk").values("kind")[:1])
    )
    return hoods.exclude(life__in=("retired", "hibernated")).exclude(
        Exists(Assignment.objects.filter(hood=OuterRef("pk")))
    )


def _drafts(site: Site) -> QuerySet:
    return CriteriaVersion.objects.filter(set__site=site, adopted_at__isnull=True)


def _uncalibrated(site: Site, today: date) -> QuerySet:
    instruments = Instrument.objects.filter(site=site, retired_on__isnull=True)
    until = instruments.annotate(until=Max("calibrations__due_on"))
    ending = until.filter(Q(until__isnull=True) | Q(until__lte=today + AHEAD))
    return Instrument.objects.filter(pk__in=ending.order_by().values("pk"))


def _unsent(site: Site, today: date) -> QuerySet:
    return Notice.objects.waiting(today).filter(site=site)


def _given_up(site: Site, today: date) -> QuerySet:
    """Those of the last days, whoever has looked: what somebody was not told stays in sight while it may matter."""
    begins = datetime.combine(today - RECENT, time.min, site.zone)
    return Notice.objects.given_up(today).filter(site=site, at__gte=begins)


def _without_password(site: Site, today: date) -> QuerySet:
    here = Role.objects.filter(person=OuterRef("pk"), site=site).exclude(until_on__lt=today)
    # An unusable password begins so (django.contrib.auth.hashers): nobody has set one.
    return Person.objects.filter(Exists(here), is_active=True, password__startswith="!")  # noqa: S106
