"""A list of hoods is kept: a short one at once, a long one with how far it is; all of it or nothing."""

from __future__ import annotations

import logging
from collections.abc import Iterator, Sequence
from contextlib import closing
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.formats import number_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hoods import actions, inventory, inventory_ends
from hoods.actions.inventory_list import NotAsSeen
from hoods.actions.registering import TOGETHER
from hoods.inventory_said import Said
from hoods.views import as_it_goes, lists
from hoods.views.page import done
from hoods.views.waiting import Waiting

SHORT = TOGETHER  # hoods: so many are written in one part, and nothing is to be told on the way
log = logging.getLogger(__name__)


def keep(
    request: HttpRequest, kind: lists.KindOfList, token: str, found: Waiting, said: list[Said], plan: inventory.Plan
) -> HttpResponse:
    """Keeps a list that was seen; of a long one the page is written as its hoods are."""
    what: dict[str, Any] = {
        "site": request.site, "said": said, "seen": request.POST.get("seen", ""), "by": request.user, "at": timezone.now(),
        "why": _("From the list %(name)s (SHA-256 %(sha256)s).") % {"name": found.name, "sha256": found.sha256[:16]},
    }  # fmt: skip
    labels = inventory_ends.ends(plan, what["at"]).labels
    if plan.hoods <= SHORT:
        plan = actions.keep_list(**what)
        lists.drop(request, kind, token)
        if labels:
            messages.warning(request, said_of_labels(labels))
        return done(request, said_of_kept(plan), kind.home)
    if plan.digest != what["seen"]:
        raise NotAsSeen()
    told = _told(request, kind, token, found, actions.keep_in_parts(**what), labels)
    return as_it_goes.page(request, "lists/keeping.html", {"name": found.name, "plan": plan}, told)


def _told(
    request: HttpRequest, kind: lists.KindOfList, token: str, found: Waiting, parts: Any, labels: Sequence[str]
) -> Iterator[str]:
    """How many hoods are written, line by line; and last whether they are kept, and where to go on."""
    plan = None
    try:
        with closing(parts):
            for written, plan in parts:
                yield render_to_string("lists/keeping_line.html", {"written": written, "plan": plan})
    except actions.Refused as refusal:
        yield _end(request, **_why_not(request, kind, found, refusal))
    except Exception:  # the page is begun, and only it can still say so
        log.exception("The list %s of person %s is not kept", found.name, request.user.pk)
        yield _end(request, failed=True)
    else:
        try:
            yield _end(request, kept=said_of_kept(plan), labels=said_of_labels(labels) if labels else "")
        finally:
            lists.drop(request, kind, token)


def _why_not(request: HttpRequest, kind: lists.KindOfList, found: Waiting, refusal: actions.Refused) -> dict[str, Any]:
    _said, now = kind.planned(request.site, found.data)
    return {"kept": kind.said_of(now)} if lists.is_kept_meanwhile(request, now) else {"refusal": str(refusal)}


def _end(request: HttpRequest, **what: Any) -> str:
    return render_to_string("lists/keeping_end.html", {"address": request.path, **what})


def said_of_kept(plan: inventory.Plan) -> str:
    """What keeping a list came to, in a sentence."""
    return ngettext(
        "The list is kept: %(added)s hood added, %(changed)s changed, %(left)s left as they were.",
        "The list is kept: %(added)s hoods added, %(changed)s changed, %(left)s left as they were.",
        len(plan.added),
    ) % counts(plan)  # fmt: skip


def said_of_labels(tags: Sequence[str]) -> str:
    """Whose labels must come off now that a list is kept."""
    return ngettext(
        "Take the label off %(hoods)s: what it approves has ended.",
        "Take the labels off %(number)d hoods, what they approve has ended: %(hoods)s.",
        len(tags),
    ) % {"number": len(tags), "hoods": inventory_ends.named(tags)}  # fmt: skip


def counts(plan: inventory.Plan) -> dict[str, str]:
    """How many hoods a plan adds, changes and leaves, as their reader groups a number: 5,000."""
    numbers = {"added": len(plan.added), "changed": len(plan.changed), "left": plan.left}
    return {name: number_format(number, force_grouping=True) for name, number in numbers.items()}
