"""Every mail that was made: whom it tells of what, and when it went out or why it has not."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from surveys.models import Notice
from surveys.views import paging
from surveys.views.told import gathered, with_tries


def notice_list(request: HttpRequest) -> HttpResponse:
    """Those that wait come first; then the newest."""
    notices = Notice.objects.visible_to(request.user).filter(site=request.site)
    today = request.site.today()
    waiting, given_up = notices.waiting(today), notices.given_up(today)
    rows = with_tries(notices.select_related("hood")).order_by("-at", "-pk")
    page = paging.page_of(rows, request.GET.get("page"))
    context = {
        "page": page,
        "waiting": gathered(
            with_tries(waiting.select_related("hood")).order_by("at", "pk")[: paging.MOST], of_many=True
        ),
        "number": waiting.count(),
        "given_up": gathered(
            with_tries(given_up.select_related("hood")).order_by("-at", "-pk")[: paging.MOST], of_many=True
        ),
        "given_up_number": given_up.count(),
        "is_set_up": settings.MAIL_IS_SET_UP,
    }
    return render(request, "surveys/notice_list.html", context)
