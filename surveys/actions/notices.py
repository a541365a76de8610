"""Telling people by mail: what is to be told is kept with what it tells, and sent once that stands.

A notice is kept in the transaction of the act itself, so that none is told of what did not happen and none is lost.
It is sent after the commit, and by `manage.py send_notices` until it went out. Each attempt is a row: sent, or what the
server answered. Whoever sends first claims the notice in a short transaction; no transaction is open, and no connection
to the database held, while the server is talked to. A sender that is killed leaves its claim behind: when that is over
the notice is sent by the next one, so a mail may arrive twice then, but never not at all.
"""

from __future__ import annotations

import logging
from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from datetime import UTC, date, datetime, timedelta
from smtplib import SMTPDataError, SMTPRecipientsRefused, SMTPResponseException, SMTPSenderRefused
from typing import Any, NamedTuple

from django.conf import settings
from django.core.mail import get_connection
from django.db import IntegrityError, connection, transaction

from hoods.models import Hood, HoodEvent, Person, Role, Site
from hoods.models.people import LAB_MANAGER, PROGRAMME_MANAGER
from surveys import queries
from surveys.actions.mails import letter_of, mail_of
from surveys.core.status import status
from surveys.models import EarlierChange, Notice, NoticeClaim, NoticeHood, NoticeTry, Stop, Survey
from surveys.models.notice import APPROVAL_ENDED, INVITATIONS

log = logging.getLogger(__name__)

CLAIMED = timedelta(minutes=10)  # longer than one mail can take
LONGEST_ANSWER = 500
OF_VERDICTS = {"fail": "failed", "restrict": "restricted"}
#: Refusals of one mail alone; after any other failure the server is not asked again in the same run.
OF_ONE_MAIL = (SMTPRecipientsRefused, SMTPSenderRefused, SMTPDataError)


class Sent(NamedTuple):
    """What became of a run: how many mails went out, and the answers to those that did not."""

    number: int
    answers: tuple[str, ...]


def tell(
    *, kind: str, hood: Hood, by: Person, at: datetime, stop: Stop | None = None, survey: Survey | None = None
) -> list[Notice]:
    """Keep a notice to each person who is told of what happens at a hood, and send them once the act stands."""
    site = hood.site
    return _keep(
        Notice(
            site=site, to=person, address=person.email, kind=kind, hood=hood, stop=stop, survey=survey, role=role,
            at=at, by=by,
        )
        for person, role in to_be_told(hood, site.day_of(at))
    )  # fmt: skip


def tell_of_many(
    *, kind: str, hoods: Collection[Hood], by: Person, at: datetime, event: HoodEvent | None = None,
    earlier: EarlierChange | None = None,
) -> list[Notice]:  # fmt: skip
    """Keep one notice to each person of all hoods, of one site, that they are told of: however many, one mail."""
    if not hoods:
        return []
    site = next(iter(hoods)).site
    on = site.day_of(at)
    held, placed = _held(site.pk, on), queries.placements(hoods, on)
    own: dict[tuple[int, str], list[Hood]] = defaultdict(list)
    people: dict[int, Person] = {}
    for hood in hoods:
        place = placed.get(hood.pk)
        for person, role in _of_room(held, place.room_id if place else None):
            people[person.pk] = person
            own[person.pk, role].append(hood)
    notices = [
        Notice(
            site=site, to=people[pk], address=people[pk].email, kind=kind, hood=of[0] if len(of) == 1 else None, role=role,
            event=event, earlier=earlier, at=at, by=by,
        )
        for (pk, role), of in own.items()
    ]  # fmt: skip
    return _keep(notices, of_hoods=[[hood.pk for hood in of] if len(of) > 1 else [] for of in own.values()])


def tell_of_ended(*, events: Sequence[HoodEvent], **signal: Any) -> list[Notice]:
    """Tell of the hoods that lost an approval by changes of one act; who had none to lose is told nothing."""
    first = events[0]
    hoods = {event.hood_id: event.hood for event in events}
    on = next(iter(hoods.values())).site.day_of(first.at)
    facts = queries.facts_of(list(hoods.values()), on)
    lost = []
    for pk, known in facts.items():
        before = status(known._replace(events=[event for event in known.events if event.at != first.at]), on)
        after = status(known, on)
        if (before.code, before.restriction) != (after.code, after.restriction):
            lost.append(hoods[pk])
    return tell_of_many(kind=APPROVAL_ENDED, hoods=lost, event=first, by=first.by, at=first.at)


def tell_of_survey(*, survey: Survey, by: Person, at: datetime) -> list[Notice]:
    """Tell of a signed survey that bars a hood or restricts it; of any other nobody has to be told at once."""
    kind = OF_VERDICTS.get(survey.verdict)
    return tell(kind=kind, hood=survey.hood, survey=survey, by=by, at=at) if kind else []


def tell_invited(*, person: Person, site: Site, kind: str, by: Person | None, at: datetime, **signal: Any) -> None:
    """Keep the notice of an invitation; its one-time link is made when it is sent and kept nowhere."""
    _keep([Notice(site=site, to=person, address=person.email, kind=kind, at=at, by=by)])


def tell_at_new_address(*, person: Person, site: Site, by: Person, at: datetime, **signal: Any) -> None:
    """Keep anew, for an address that was mended, what did not go out to the old one, and an invitation in any case."""
    missed = Notice.objects.filter(to=person).exclude(address=person.email).exclude(tries__sent=True)
    missed = missed.exclude(kind__in=INVITATIONS).order_by("at", "pk")
    anew = [
        Notice(
            site_id=one.site_id, to=person, address=person.email, kind=one.kind, hood_id=one.hood_id,
            stop_id=one.stop_id, survey_id=one.survey_id, event_id=one.event_id, earlier_id=one.earlier_id,
            role=one.role, at=at, by=by,
        )
        for one in missed
    ]  # fmt: skip
    invited = Notice(site=site, to=person, address=person.email, kind="invited", at=at, by=by)
    of_hoods = [list(one.of_hoods.values_list("hood", flat=True)) for one in missed]
    _keep([invited, *anew], of_hoods=[[], *of_hoods])


def day_behind(at: datetime) -> date:
    """A day that is over everywhere: no role is taken as ended that still holds by the clock of its site."""
    return at.astimezone(UTC).date() - timedelta(days=1)


def to_be_told(hood: Hood, on: date) -> list[tuple[Person, str]]:
    """The lab managers of the room where a hood stands on a day; where it has none, the site's programme managers."""
    placement = hood.placement(on)
    return _of_room(_held(hood.site_id, on), placement.room_id if placement else None)


def _held(site: int, on: date) -> list[Role]:
    """The roles at a site whose holders are told of hoods on a day."""
    held = Role.objects.filter(site=site, person__is_active=True, from_on__lte=on).exclude(until_on__lt=on)
    held = held.filter(role__in=(LAB_MANAGER, PROGRAMME_MANAGER)).select_related("person")
    return list(held.order_by("person", "pk"))


def _of_room(held: Iterable[Role], room: int | None) -> list[tuple[Person, str]]:
    roles = [role for role in held if role.room_id in (None, room)]
    own = [role for role in roles if role.role == LAB_MANAGER]
    return list({role.person_id: (role.person, role.role) for role in own or roles}.values())


def send_waiting(*, at: datetime) -> Sent:
    """Try every notice that has not gone out, the oldest first."""
    if not settings.MAIL_IS_SET_UP:
        return Sent(0, ())
    return _send(Notice.objects.waiting(day_behind(at)).values_list("pk", flat=True).order_by("at", "pk"), at)


def _keep(notices: Iterable[Notice], of_hoods: Iterable[Iterable[int]] = ()) -> list[Notice]:
    """Keep notices, each with the many hoods that it is about, and send them once the act stands."""
    kept = Notice.objects.bulk_create(notices)
    NoticeHood.objects.bulk_create(
        [NoticeHood(notice=notice, hood_id=pk) for notice, hoods in zip(kept, of_hoods, strict=False) for pk in hoods],
        batch_size=500,
    )
    if kept and settings.MAIL_IS_SET_UP:

        def send() -> None:
            _send([notice.pk for notice in kept], kept[0].at)

        # Robust: whatever goes wrong with a mail, what it tells of is done and its page is answered.
        transaction.on_commit(send, robust=True)
    return kept


def _send(notices: Iterable[int], at: datetime) -> Sent:
    server = get_connection()
    number, answers, unreachable = 0, [], ""
    for pk in notices:
        notice = _claim(pk, at)
        if notice is None:
            continue
        answer, unreachable = _hand_over(notice, server, at, unreachable)
        _conclude(notice, answer, at)
        if answer is None:
            number += 1
        else:
            answers.append(answer)
    _hang_up(server)
    return Sent(number, tuple(answers))


def _claim(pk: int, at: datetime) -> Notice | None:
    """The notice, from now on this sender's alone; None where it went out, or where another sends it now.

    On PostgreSQL a locked row is another's; SQLite's transactions are IMMEDIATE, so that one claims at a time.
    """
    with transaction.atomic():
        row = Notice.objects.select_for_update(skip_locked=True, no_key=True, of=("self",)).filter(pk=pk).first()
        if row is None:
            return None
        # Asked only now that the row is held: what another has just done is seen.
        notice = Notice.objects.waiting(day_behind(at)).select_related(
            "to", "site", "hood", "stop", "survey", "event", "earlier", "by"
        )
        notice = notice.filter(pk=pk)
        if not notice or NoticeClaim.objects.filter(notice=pk, until__gt=at).exists():
            return None
        NoticeClaim.objects.update_or_create(notice=row, defaults={"until": at + CLAIMED})
        return notice[0]


def _hand_over(notice: Notice, server: Any, at: datetime, unreachable: str) -> tuple[str | None, str]:
    """Write the mail and give it to the server: None where it took it, else its answer; and whether it can be reached."""
    if unreachable:
        return unreachable, unreachable
    try:
        mail = mail_of(notice, letter_of(notice, at), server)
        _let_go_of_the_database()
        if not mail.send():
            return "the server took no mail", ""
    except OF_ONE_MAIL as refusal:
        return _answer(refusal, notice), ""
    except OSError as failure:  # among them all that smtplib raises
        answer = _answer(failure, notice)
        return answer, answer
    except Exception as failure:  # a mail that cannot be written stops neither the others nor the act that it tells of
        log.exception("notice %s could not be sent", notice.pk)
        return type(failure).__name__, ""
    return None, ""


def _let_go_of_the_database() -> None:
    """Give the connection back while the mail server is talked to: a silent one must not use up the pool."""
    if not connection.in_atomic_block:
        connection.close()


def _conclude(notice: Notice, answer: str | None, at: datetime) -> None:
    """Keep what became of the attempt, and give the claim back."""
    try:
        with transaction.atomic():
            NoticeTry.objects.create(notice=notice, sent=answer is None, answer=answer or "", at=at)
    except IntegrityError:
        log.exception("notice %s was sent by another meanwhile", notice.pk)
    NoticeClaim.objects.filter(notice=notice).delete()


def _answer(failure: Exception, notice: Notice) -> str:
    """What a mail server answered, in one line and without the address that it may repeat."""
    if isinstance(failure, SMTPRecipientsRefused) and failure.recipients:
        code, text = next(iter(failure.recipients.values()))
        said = f"{code} {_text(text)}"
    elif isinstance(failure, SMTPResponseException):
        said = f"{failure.smtp_code} {_text(failure.smtp_error)}"
    else:
        said = getattr(failure, "strerror", None) or str(failure) or type(failure).__name__
    return " ".join(said.replace(notice.address, "…").split())[:LONGEST_ANSWER]


def _text(said: bytes | str) -> str:
    return said.decode("utf-8", "replace") if isinstance(said, bytes) else said


def _hang_up(server: Any) -> None:
    try:
        server.close()
    except OSError:
        log.warning("the mail server hung up before we did")
