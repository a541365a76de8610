"""Posting 'do not use', saying that its sign hangs, and withdrawing one that was a mistake."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from hoods.actions.refusal import Refused
from hoods.models import Hood
from surveys import queries
from surveys.actions import stops
from surveys.actions.letters import sign_of_withdrawn
from surveys.forms.stop import Posting, Withdrawal
from surveys.models import Stop
from surveys.views.hood import hood_page


def post_stop(request: HttpRequest, pk: int) -> HttpResponse:
    hood = get_object_or_404(Hood.objects.visible_to(request.user).select_related("site"), pk=pk)
    if request.method != "POST":  # read again after a refusal
        return redirect("surveys:hood", hood.pk)
    form = Posting(request.POST, prefix="stop")
    if not form.is_valid():
        return hood_page(request, pk, posting=form)
    entered = form.cleaned_data
    stops.post_stop(
        hood=hood, reason=entered["reason"], words=entered["words"], by=request.user, at=timezone.now()
    )
    messages.warning(
        request,
        (
            gettext("‘Do not use’ is posted on %(tag)s. Hang the sign at its open front and say so here.") if hood.sash == "none"
            else gettext("‘Do not use’ is posted on %(tag)s. Hang the sign on the sash and say so here.")
        )
        % {"tag": hood.tag},
    )
    return redirect("surveys:hood", hood.pk)


@require_POST
def hang_sign(request: HttpRequest, pk: int) -> HttpResponse:
    stop = get_object_or_404(Stop.objects.visible_to(request.user), pk=pk)
    try:
        stops.sign_hung(stop=stop, by=request.user, at=timezone.now())
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, gettext("Kept: the sign hangs on the hood."))
    return redirect("surveys:hood", stop.hood_id)


def withdraw_stop(request: HttpRequest, pk: int) -> HttpResponse:
    stop = get_object_or_404(Stop.objects.visible_to(request.user), pk=pk)
    if request.method != "POST":  # read again after a refusal
        return redirect("surveys:hood", stop.hood_id)
    form = Withdrawal(request.POST, prefix=f"withdraw-{stop.pk}")
    if not form.is_valid():
        return hood_page(request, stop.hood_id, withdrawing=(stop.pk, form))
    again = stop.changes.filter(kind="withdrawn").exists()
    try:
        stops.withdraw_stop(stop=stop, why=form.cleaned_data["why"], by=request.user, at=timezone.now())
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        if again:
            messages.warning(request, gettext("This ‘do not use’ was withdrawn before. Nothing is changed."))
        else:
            status = queries.status_of(stop.hood, stop.hood.site.today())
            messages.success(request, gettext("Withdrawn. %(sign)s") % {"sign": sign_of_withdrawn(status)})
    return redirect("surveys:hood", stop.hood_id)
