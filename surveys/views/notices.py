"""Every mail that was made: whom it tells of what, and when it went out or why it has not."""

from __future__ import annotations

from django.conf import settings
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from surveys.models import Notice
from surveys.views.lists import PER_PAGE
from surveys.views.told import gathered, with_tries


def notice_list(request: HttpRequest) -> HttpResponse:
    """Those that wait come first; then the newest."""
    notices = Notice.objects.visible_to(request.user).filter(site=request.site)
    waiting = notices.waiting()
    rows = with_tries(notices.select_related("hood")).order_by("-at", "-pk")
    page = Paginator(rows, PER_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "waiting": gathered(with_tries(waiting.select_related("hood")).order_by("at", "pk")[:PER_PAGE], of_many=True),
        "number": waiting.count(),
        "is_set_up": settings.MAIL_IS_SET_UP,
    }
    return render(request, "surveys/notice_list.html", context)
