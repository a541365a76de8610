"""Who was told by mail of what, and who was not yet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.db.models import Count, Max, Min, OuterRef, Q, QuerySet, Subquery
from django.utils import timezone

from hoods.models import Hood
from hoods.models.people import PROGRAMME_MANAGER
from surveys.models import Notice, NoticeHood, NoticeTry

MOST = 60  # notices that a page tells of, the newest


@dataclass
class Telling:
    """One thing that people were told of, and to whom the mail went out."""

    kind: str
    at: datetime
    stop: Any
    survey: Any
    hood: Any
    sent: list[Notice] = field(default_factory=list)
    waiting: list[Notice] = field(default_factory=list)
    to_programme_managers: bool = False


def of_hood(hood: Hood, before: datetime | None = None) -> list[Telling]:
    """What was told of a hood, the newest first, as it stood before a moment; in one query."""
    among = NoticeHood.objects.filter(hood=hood).values("notice")
    notices = Notice.objects.filter(Q(hood=hood) | Q(pk__in=among))
    return gathered(with_tries(notices, before).order_by("-at", "-pk")[:MOST])


def with_tries(notices: QuerySet[Notice], before: datetime | None = None) -> QuerySet[Notice]:
    """Notices with when they were sent, when they were last tried, what the server answered then, and of how many hoods."""
    known = Q(tries__at__lt=before) if before else Q()
    tries = NoticeTry.objects.filter(notice=OuterRef("pk"), sent=False, **({"at__lt": before} if before else {}))
    if before:
        notices = notices.filter(at__lt=before)
    notices = notices.with_why_given_up(timezone.now().date() - timedelta(days=1))  # type: ignore[attr-defined]
    many = NoticeHood.objects.filter(notice=OuterRef("pk")).order_by().values("notice").annotate(number=Count("pk"))
    return notices.select_related("to").annotate(
        of_many=Subquery(many.values("number")),
        sent_at=Min("tries__at", filter=Q(tries__sent=True) & known),
        tried_at=Max("tries__at", filter=Q(tries__sent=False) & known),
        answer=Subquery(tries.order_by("-at", "-pk").values("answer")[:1]),
    )


def gathered(notices: Iterable[Notice], *, of_many: bool = False) -> list[Telling]:
    """Notices of one act together, in the order given; within it by the name of who is told.

    Those of many hoods come with their hood loaded.
    """
    tellings: dict[Any, Telling] = {}
    for notice in notices:
        key = (notice.kind, notice.stop_id, notice.survey_id, notice.at)
        made = Telling(notice.kind, notice.at, notice.stop_id, notice.survey_id, notice.hood if of_many else None)
        telling = tellings.setdefault(key, made)
        (telling.sent if notice.sent_at else telling.waiting).append(notice)
        telling.to_programme_managers = notice.role == PROGRAMME_MANAGER
        notice.no_server = not settings.MAIL_IS_SET_UP  # type: ignore[attr-defined]
    for telling in tellings.values():
        telling.sent.sort(key=lambda notice: notice.to.name)
        telling.waiting.sort(key=lambda notice: notice.to.name)
    return list(tellings.values())
