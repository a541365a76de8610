"""Lists of earlier results: what each brought, whether it counts, and letting it count, or count no longer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, Max, Min, Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from hoods.actions.refusal import Refused
from hoods.views.page import done, form_page, kept, sent
from surveys import accepting, earlier_results
from surveys.actions import earlier as actions
from surveys.forms import earlier as forms
from surveys.models import EarlierBatch, EarlierChange
from surveys.models.earlier import ACCEPTED, STRUCK

PAGE = 100  # results on a page


@dataclass(frozen=True, slots=True)
class Shown:
    """A list with what became of it."""

    batch: EarlierBatch
    changes: tuple[EarlierChange, ...]

    @property
    def last(self) -> EarlierChange | None:
        return self.changes[-1] if self.changes else None

    @property
    def counts(self) -> bool:
        return self.last is not None and self.last.kind == ACCEPTED

    @property
    def is_struck(self) -> bool:
        return self.last is not None and self.last.kind == STRUCK


def _lists(request: HttpRequest) -> Any:
    """The lists of the site, each with how many results of how many hoods it has, and of which days."""
    changes = EarlierChange.objects.select_related("by").order_by("at", "pk")
    return (
        EarlierBatch.objects.visible_to(request.user)
        .filter(site=request.site)
        .select_related("by", "site")
        .prefetch_related(Prefetch("changes", changes))
        .annotate(
            number=Count("results"), hoods=Count("results__hood", distinct=True), first=Min("results__measured_on"),
            latest=Max("results__measured_on"),
        )
    )  # fmt: skip


def _shown(batch: EarlierBatch) -> Shown:
    return Shown(batch, tuple(batch.changes.all()))


def earlier_list(request: HttpRequest) -> HttpResponse:
    lists = [_shown(batch) for batch in _lists(request)]
    return render(request, "surveys/earlier/list.html", {
        "lists": lists, "counting": sum(one.counts for one in lists),
    })  # fmt: skip


def earlier(request: HttpRequest, pk: int) -> HttpResponse:
    one = _shown(get_object_or_404(_lists(request), pk=pk))
    page = Paginator(one.batch.results.order_by("row"), PAGE).get_page(request.GET.get("page"))
    results = page.object_list
    page.object_list = earlier_results.shown(results, {})
    return render(request, "surveys/earlier/batch.html", {"one": one, "batch": one.batch, "page": page})


def accept_results(request: HttpRequest, pk: int) -> HttpResponse:
    return _decide(
        request, pk, forms.Accepted, actions.accept_results, template="surveys/earlier/accept.html",
        more=lambda batch: {"would": accepting.would(batch, request.site.today())},
        why_not=lambda one: actions.CountsAlready() if one.counts else None, said=_("Kept: the list counts for status and due."),
        answer=_("Let this list count for status and due?"),
        after=_(
            "From earlier records, not signed here: that stays beside every status that rests on it. Each hood is due again by "
            "its criteria of today. Until its first survey here, a hood is used by these results up to the height that they say; no "
            "label and no certificate is printed from them. A filtered hood, and a two-state hood whose state they do not say, is not used by "
            "them."
        ),
        button=_("Let it count"),
    )  # fmt: skip


def withdraw_results(request: HttpRequest, pk: int) -> HttpResponse:
    return _decide(
        request, pk, forms.Withdrawn, actions.withdraw_acceptance,
        why_not=lambda one: None if one.counts else actions.CountsNot(), said=_("Kept: the list counts no longer."),
        answer=_("Let this list count no longer?"),
        after=_(
            "Hoods that rest on it alone are then not yet surveyed, and must not be used. The results stay on their pages."
        ),
        button=_("Withdraw"), danger=True,
    )  # fmt: skip


def strike_results(request: HttpRequest, pk: int) -> HttpResponse:
    return _decide(
        request, pk, forms.Struck, actions.strike_results, said=_("Kept: the list is struck."),
        answer=_("Strike this list?"),
        after=_(
            "For a list that should not have been brought in. It counts no longer and is shown with no hood; here it stays, "
            "struck, with the reason. The same file, put right, may then be brought in."
        ),
        button=_("Strike it"), danger=True,
    )  # fmt: skip


def _decide(
    request: HttpRequest, pk: int, form_class: type[forms.Plain], act: Callable[..., Any], *, said: str,
    why_not: Callable[[Shown], Refused | None] = lambda one: None,
    more: Callable[[EarlierBatch], dict[str, Any]] = lambda batch: {}, **words: Any,
) -> HttpResponse:  # fmt: skip
    """One question about one list, with its reason; what is not to be asked of it any more is said on its page."""
    one = _shown(get_object_or_404(_lists(request), pk=pk))
    batch = one.batch
    refusal = actions.IsStruck() if one.is_struck else why_not(one)
    if refusal and request.method != "POST":
        messages.warning(request, str(refusal))
        return redirect("surveys:earlier", pk)
    form = form_class(sent(request))
    if kept(request, form, act, batch=batch):
        return done(request, said, "surveys:earlier", pk)
    return form_page(
        request, form, title=_("Earlier results"), where=batch.name, back=reverse("surveys:earlier", args=[pk]),
        **more(batch), **words,
    )  # fmt: skip
