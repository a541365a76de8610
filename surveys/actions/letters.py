"""The words of a mail, made when it is sent: what, where, why, since when, until when, what to do, whom to call.

A mail that goes out late must not say what has ceased to be true: what it asks for follows from how the hood stands at
the moment of sending, and it says so beside what happened.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from hoods.actions.people import needs_link, one_time_path
from hoods.models.people import LAB_MANAGER, ROLE_NAMES
from surveys import queries, wording, words
from surveys.core import units
from surveys.core.approval import highest
from surveys.core.cautions import caution
from surveys.core.sash import lines
from surveys.core.status import DO_NOT_USE, Status
from surveys.models import Notice


@dataclass
class Letter:
    """What a mail says, part by part; plain text and HTML are drawn from the same parts."""

    subject: str
    opening: str
    facts: list[tuple[str, str]] = field(default_factory=list)
    to_do: str = ""
    call: str = ""
    link: str = ""
    link_words: str = ""
    because: str = ""
    caution: str = ""


def of_hood(notice: Notice, at: datetime) -> Letter:
    """What happened at one hood, in its reader's language and by the clock of its site."""
    hood: Any = notice.hood
    site = notice.site
    status = queries.status_of(hood, site.day_of(at))
    placement = hood.placement(site.day_of(notice.at))
    room = str(placement.room) if placement else ""
    where = f"{room}, {placement.position}" if placement and placement.position else room
    happened, opening, facts = _HAPPENED[notice.kind](notice, status)
    named = {"hood": f"{hood.tag}, {room}" if room else hood.tag}
    return Letter(
        subject=_subject(notice.kind, status, happened) % named,
        opening=opening % {"tag": hood.tag},
        facts=[(_("Where"), where), *facts, (_("Now, at %(at)s") % {"at": moment(at)}, stands(status, site, hood.sash))],
        to_do=" ".join([*_to_do(notice.kind, status, hood.sash), *also_told(hood)]),
        call=call(site),
        link=address(reverse("surveys:hood", args=[hood.pk])),
        link_words=_("The page of %(tag)s") % {"tag": hood.tag},
        because=because(notice, room),
        caution=_("Meeting criteria does not guarantee containment."),
    )


def _subject(kind: str, status: Status, happened: str) -> str:
    """In words first what the reader must know now: whether the hood is barred goes before what happened."""
    if status.code != DO_NOT_USE:
        return happened
    return _("Still do not use: %(hood)s") if kind in ("stop-lifted", "stop-withdrawn") else _("Do not use: %(hood)s")


def _posted(notice: Notice, status: Status) -> tuple[str, str, list[tuple[str, str]]]:
    stop: Any = notice.stop
    opening = (
        _("Do not use hood %(tag)s from now on.")
        if status.code == DO_NOT_USE
        else _("‘Do not use’ was posted on hood %(tag)s. It is over by now.")
    )
    reason = str(words.STOP_REASONS.get(stop.reason, stop.reason))
    return _("‘Do not use’ was posted: %(hood)s"), opening, [
        (_("Why"), f"{reason}. {stop.words}".strip()),
        (_("Since"), moment(stop.at)),
        (_("Until"), _("a survey meets the criteria and its surveyor takes the sign down")),
        (_("Posted by"), stop.by.name),
    ]  # fmt: skip


def _failed(notice: Notice, status: Status) -> tuple[str, str, list[tuple[str, str]]]:
    survey: Any = notice.survey
    opening = (
        _("Do not use hood %(tag)s: its survey did not meet the criteria.")
        if status.code == DO_NOT_USE
        else _("A survey of hood %(tag)s did not meet the criteria.")
    )
    return _("Criteria were not met: %(hood)s"), opening, [
        (_("Why"), _reasons(notice)),
        (_("Since"), wording.day(survey.done_on.isoformat())),
        (_("Until"), _("a survey meets the criteria")),
        (_("Surveyed by"), wording.surveyed_by(survey)),
    ]  # fmt: skip


def _restricted(notice: Notice, status: Status) -> tuple[str, str, list[tuple[str, str]]]:
    survey: Any = notice.survey
    until = _("a survey meets the criteria without it")
    if survey.due_on:
        until = _("%(until)s; the next one is due by %(on)s") % {
            "until": until, "on": wording.day(survey.due_on.isoformat()),
        }  # fmt: skip
    return _("Restricted: %(hood)s"), _("Hood %(tag)s is restricted by its survey."), [
        (_("To what"), wording.restriction(survey.restriction)),
        (_("Why"), _reasons(notice)),
        (_("Since"), wording.day(survey.done_on.isoformat())),
        (_("Until"), until),
        (_("Surveyed by"), wording.surveyed_by(survey)),
    ]  # fmt: skip


def _lifted(notice: Notice, status: Status) -> tuple[str, str, list[tuple[str, str]]]:
    survey: Any = notice.survey
    day = wording.day(survey.done_on.isoformat())
    why = (
        _("The survey of %(on)s met the criteria.")
        if survey.verdict == "pass"
        else _("The survey of %(on)s met the criteria within a restriction.")
    ) % {"on": day}
    return _("‘Do not use’ lifted: %(hood)s"), _("The ‘Do not use’ on hood %(tag)s is lifted."), [
        (_("Why"), why),
        (_("Since"), moment(notice.at)),
        *([(_("Restricted to"), wording.restriction(survey.restriction))] if survey.restriction else []),
        (_("Surveyed by"), wording.surveyed_by(survey)),
    ]  # fmt: skip


def _withdrawn(notice: Notice, status: Status) -> tuple[str, str, list[tuple[str, str]]]:
    stop: Any = notice.stop
    change = stop.changes.filter(kind="withdrawn").select_related("by").get()
    opening = _("The ‘Do not use’ on hood %(tag)s was posted by mistake and is withdrawn.")
    return _("‘Do not use’ withdrawn: %(hood)s"), opening, [
        (_("Why"), change.why),
        (_("Since"), moment(change.at)),
        (_("Withdrawn by"), change.by.name),
    ]  # fmt: skip


_HAPPENED = {
    "stop-posted": _posted,
    "failed": _failed,
    "restricted": _restricted,
    "stop-lifted": _lifted,
    "stop-withdrawn": _withdrawn,
}


def stands(status: Status, site: Any, sash_kind: str) -> str:
    """How a hood stands, in a sentence or two."""
    if not status.in_use:
        told = (status.unlabelled,) if status.unlabelled else status.reasons
        return " ".join(wording.sentence(one) for one in told)
    height = _("above the work surface") if site.height_from == "work-surface" else _("above the airfoil")
    told = lines(status.approved, sash_kind, status.restriction, site.height_from)
    if told:
        sash = "; ".join(wording.sentence(line) for line in told)
    else:
        top = highest(status.approved)
        sash = _("sash at or below %(height)s %(above)s") % {
            "height": units.both(top.height) if top else "–", "above": height,
        }  # fmt: skip
    use = (status.restriction or {}).get("use")
    said = _("It may be used within what its label says: %(sash)s%(use)s.") % {
        "sash": sash, "use": f", {use}" if use else "",
    }  # fmt: skip
    if status.due:
        said += " " + _("Its next survey is due by %(on)s.") % {"on": wording.day(status.due.on.isoformat())}
    return said


def _to_do(kind: str, status: Status, sash: str) -> Iterator[str]:
    if kind == "stop-withdrawn":
        yield sign_of_withdrawn(status)
    elif status.code == DO_NOT_USE:
        yield _("Leave a ‘Do not use’ sign where it hangs: whoever surveys the hood takes it down.")
    if status.in_use:
        yield _(caution("told", sash))
        return
    if status.is_canopy:
        yield _("Tell everybody who works there: no hazardous vapours under it. Its sign says so, and it has no label.")
        return
    yield _(caution("left-shut", sash))


def also_told(hood: Any) -> Iterator[str]:
    """Who else hears of what happens to a hood of this kind."""
    if hood.kind == "radioisotope":
        yield _("It is a radioisotope hood: tell the radiation office too.")


def sign_of_withdrawn(status: Status) -> str:
    """What becomes of the sign of a stop that was withdrawn: mail and page say the same."""
    if status.code == DO_NOT_USE:
        return _("Something else bars the hood: leave the sign where it hangs. Whoever surveys the hood takes it down.")
    if status.in_use:
        return _("Take the sign down if it hangs on the hood.")
    return _("Take the sign down if it hangs on the hood. The hood is still not to be used, for another reason.")


def call(site: Any) -> str:
    """Whom to call with questions."""
    if site.office and site.telephone:
        return _("%(office)s, telephone %(telephone)s") % {"office": site.office, "telephone": site.telephone}
    return site.telephone or site.office or _("the programme manager of your site")


def because(notice: Notice, room: str) -> str:
    """Why this reader is told of what happens in a room."""
    if notice.role == LAB_MANAGER:
        return _("You are told because you manage %(room)s.") % {"room": room}
    return _("You are told as programme manager, because nobody is named as lab manager of %(room)s.") % {"room": room}


def invitation(notice: Notice, at: datetime) -> Letter:
    """That somebody has a role, and where the password is set."""
    person, site = notice.to, notice.site
    with_link = notice.kind == "link-made" or needs_link(person, site)
    letter = Letter(
        subject=_("You have a role: Hood Ledger, %(site)s") % {"site": site.name},
        opening=_("You have a role in the Hood Ledger of %(site)s.") % {"site": site.name},
        facts=_roles(notice, at),
        to_do=_("Sign in with your e-mail address and your password."),
        call=call(site),
        link=address("/"),
        link_words=_("Hood Ledger"),
        because=_("%(name)s invited you.") % {"name": notice.by.name} if notice.by else "",
    )
    if with_link:
        until = at + timedelta(seconds=settings.PASSWORD_RESET_TIMEOUT)
        letter.subject = _("Set your password: Hood Ledger, %(site)s") % {"site": site.name}
        letter.facts.append((_("The link works until"), moment(until)))
        letter.to_do = _(
            "Set a password by the link: it works once, and is for you alone. Then sign in with your e-mail address. "
            "If you expected no such mail, leave it and tell the programme manager."
        )
        letter.link, letter.link_words = address(one_time_path(person)), _("Set your password")
    return letter


def _roles(notice: Notice, at: datetime) -> list[tuple[str, str]]:
    today = notice.site.day_of(at)
    held = notice.to.roles.filter(site=notice.site).exclude(until_on__lt=today).select_related("room__building")
    return [
        (_("Your role"), ", ".join(str(part) for part in (ROLE_NAMES.get(role.role, role.role), role.room) if part))
        for role in held
    ]


def _reasons(notice: Notice) -> str:
    """Why a survey ended as it did, from its record."""
    survey: Any = notice.survey
    reasons = survey.record.attested["judged"]["reasons"]
    return " ".join(wording.sentence(reason) for reason in reasons)


def moment(at: datetime) -> str:
    """A moment by the clock of the site, which is named."""
    there = at.astimezone(timezone.get_current_timezone())
    return f"{wording.day(there.date().isoformat())}, {there:%H:%M} ({timezone.get_current_timezone_name()})"


def address(path: str) -> str:
    """A page of the ledger by its whole address."""
    return f"{settings.SITE_URL}{path}"
