"""The words of a mail about many hoods at once, or about one of them: an approval that ended, earlier results that count.

However many hoods one act is about, a person gets one mail: those that must not be used now are named first.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any, NamedTuple

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hoods import words as hood_words
from hoods.core.ending import ENDING
from hoods.models import Hood, HoodEvent, Placement, Room
from hoods.models.people import LAB_MANAGER
from surveys import queries, wording
from surveys.actions.letters import Letter, address, also_told, because, call, moment, stands
from surveys.core.cautions import MANY, caution
from surveys.core.status import DO_NOT_USE, NOT_SIGNED_HERE, Status
from surveys.models import Notice
from surveys.models.earlier import ACCEPTED, STRUCK
from surveys.models.notice import APPROVAL_ENDED, EARLIER_ACCEPTED

NAMED = 100  # hoods that a mail names; of more it says how many


class Told(NamedTuple):
    """A hood as the mail tells it: where it stands, and how it stands at the moment of sending."""

    hood: Hood
    placement: Placement | None
    status: Status

    @property
    def name(self) -> str:
        return f"{self.hood.tag}, {self.placement.room}" if self.placement else self.hood.tag


def of_hoods(notice: Notice, at: datetime) -> Letter:
    """What happened to the hoods of a notice, in its reader's language and by the clock of its site."""
    site = notice.site
    told = _told(notice, at)
    shut = [one for one in told if not one.status.in_use]
    subject, opening, facts = (_ended if notice.kind == APPROVAL_ENDED else _earlier)(notice, told, shut)
    now = _("Now, at %(at)s") % {"at": moment(at)}
    rows = [(one.name, _stands(one, site)) for one in told[:NAMED]]
    if len(told) == 1:
        rows = [(now, rows[0][1])]
    else:
        facts.append((now, _counted(len(told), len(shut))))
    if len(told) > NAMED:
        rows.append((_("More"), _("%(number)s more hoods: see the ledger") % {"number": len(told) - NAMED}))
    link, link_words = _link(told)
    return Letter(
        subject=subject, opening=opening, facts=[*facts, *rows], to_do=" ".join(_to_do(notice, told, shut)),
        call=call(site), link=address(link), link_words=link_words, because=_because(notice, told),
        caution=_("Meeting criteria does not guarantee containment."),
    )  # fmt: skip


def _told(notice: Notice, at: datetime) -> list[Told]:
    """The hoods, those first that must not be used now, each part in walking order."""
    on = notice.site.day_of(at)
    lines = queries.lines(notice.hoods.select_related("site"), on)
    told = [Told(line.hood, line.placement, line.status) for line in lines]
    return sorted(told, key=lambda one: one.status.in_use)


def _which(told: list[Told]) -> str:
    return told[0].name if len(told) == 1 else _("%(number)s hoods") % {"number": len(told)}


def _counted(number: int, shut: int) -> str:
    if not shut:
        return _("All of them may be used within what their labels say.")
    if shut == number:
        return _("None of them may be used.")
    said = ngettext(
        "%(shut)d of them must not be used, the others may be within what their labels say.",
        "%(shut)d of them must not be used, the others may be within what their labels say.",
        shut,
    )
    return said % {"shut": shut}


def _stands(one: Told, site: Any) -> str:
    said = stands(one.status, site, one.hood.sash)
    if one.status.in_use and one.status.flag(NOT_SIGNED_HERE):
        return f"{_('From earlier records, not signed here.')} {said}"
    return said


def _ended(notice: Notice, told: list[Told], shut: list[Told]) -> tuple[str, str, list[tuple[str, str]]]:
    event: Any = notice.event
    events = HoodEvent.objects.filter(hood__in=notice.hoods, at=event.at, kind__in=ENDING)
    kinds = set(events.order_by().values_list("kind", flat=True))
    named = {"hoods": _which(shut or told)}
    if any(one.status.code == DO_NOT_USE for one in told) and len(told) == 1:
        subject = _("Do not use: %(hoods)s")
    else:
        subject = _("Not to be used before a survey: %(hoods)s") if shut else _("Changed: %(hoods)s")
    if shut:
        opening = _("Changed in the ledger, and not to be used until surveyed as it is now: %(hoods)s.")
    else:
        opening = _(
            "Changed in the ledger, which ended what a survey had approved: %(hoods)s. It may be used again by now."
        )
    facts = [(_("What changed"), "; ".join(str(hood_words.EVENTS[kind]) for kind in ENDING if kind in kinds))]
    if event.why:
        facts.append((_("Why"), event.why))
    facts += [
        (_("Since"), moment(event.at)), (_("Until"), _("a survey of it as it is now meets the criteria")),
        (_("Changed by"), event.by.name),
    ]  # fmt: skip
    return subject % named, opening % named, facts


def _earlier(notice: Notice, told: list[Told], shut: list[Told]) -> tuple[str, str, list[tuple[str, str]]]:
    change: Any = notice.earlier
    named = {"hoods": _which(told)}
    last = change.batch.changes.order_by("at", "pk").last()
    if notice.kind == EARLIER_ACCEPTED:
        subject, by = _("Earlier results count: %(hoods)s"), _("Accepted by")
        opening = _("Results from earlier records, not signed here, count from now on: %(hoods)s.")
        if last.kind != ACCEPTED:
            opening = _(
                "Results from earlier records were accepted as counting; they count no longer by now: %(hoods)s."
            )
    else:
        subject = _("Earlier results count no longer: %(hoods)s")
        by = _("Struck by") if change.kind == STRUCK else _("Withdrawn by")
        opening = _("Results from earlier records count no longer: %(hoods)s.")
        if last.kind == ACCEPTED:
            opening = _("Results from earlier records counted no longer; they are accepted again by now: %(hoods)s.")
    return subject % named, opening % named, [
        (_("List"), change.batch.name), (_("Why"), change.why), (_("Since"), moment(change.at)), (by, change.by.name),
    ]  # fmt: skip


def _to_do(notice: Notice, told: list[Told], shut: list[Told]) -> list[str]:
    said = []
    if shut:
        one = len(told) == 1
        said.append(
            _(caution("left-shut", shut[0].hood.sash if one else MANY))
        )
        if notice.kind == APPROVAL_ENDED:
            said.append(_("Have its label taken off.") if one else _("Have their labels taken off."))
    if len(shut) < len(told):
        said.append(
            _(
                "Tell everybody who works at one that may be used: its label says how far it may be opened and what is excluded."
            )
        )
    before = next((one.status.label_from_before for one in told if one.status.label_from_before), None)
    if before:
        said.append(wording.sentence(before))
    radioisotope = next((list(also_told(one.hood)) for one in told if one.hood.kind == "radioisotope"), [])
    if radioisotope and len(told) > 1:
        radioisotope = [_("Radioisotope hoods are among them: tell the radiation office too.")]
    return [*said, *radioisotope]


def _rooms(told: list[Told]) -> list[Room]:
    return list({one.placement.room.pk: one.placement.room for one in told if one.placement}.values())


def _link(told: list[Told]) -> tuple[str, str]:
    if len(told) == 1:
        hood = told[0].hood
        return reverse("surveys:hood", args=[hood.pk]), _("The page of %(tag)s") % {"tag": hood.tag}
    rooms = _rooms(told)
    if len(rooms) == 1:
        return reverse("surveys:room", args=[rooms[0].pk]), _("The page of %(room)s") % {"room": rooms[0]}
    return reverse("surveys:hood_list"), _("The list of hoods")


def _because(notice: Notice, told: list[Told]) -> str:
    rooms = _rooms(told)
    if len(rooms) == 1:
        return because(notice, str(rooms[0]))
    if notice.role == LAB_MANAGER:
        return _("You are told because you manage the rooms where they stand.")
    return _("You are told as programme manager, because nobody is named as lab manager of the rooms where they stand.")
