"""Why an overdue hood was not surveyed."""

from __future__ import annotations

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _

from hoods.models import Hood
from hoods.views.page import done, form_page, kept, sent
from surveys import queries
from surveys.actions.overdue import explain_overdue as explain
from surveys.core.status import OVERDUE
from surveys.forms.finding import Overdue
from surveys.templatetags.ledger import plain_day


def explain_overdue(request: HttpRequest, pk: int) -> HttpResponse:
    hood = get_object_or_404(Hood.objects.visible_to(request.user).select_related("site"), pk=pk)
    form = Overdue(sent(request))
    if kept(request, form, partial(explain, hood=hood)):
        return done(request, _("Kept: why %(hood)s is overdue.") % {"hood": hood.tag}, "surveys:hood", pk)
    flag = queries.status_of(hood, hood.site.today()).flag(OVERDUE)
    since = (
        _("It is overdue since %(day)s.") % {"day": plain_day(flag.since)} if flag else _("It is not overdue today.")
    )
    return form_page(
        request, form, title=_("Hood"), where=hood.tag, answer=_("Why was this hood not surveyed in time?"),
        after=f"{since} {_('The reason stands on its page, in the list of what is due, and in the year. It changes no status.')}",
        button=_("Keep the reason"), back=reverse("surveys:hood", args=[pk]),
    )  # fmt: skip
