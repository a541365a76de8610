"""A version beside the one in force: every rule, and what would become of the hoods that it judges."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from hoods import queries as inventory
from hoods.models import Hood
from surveys import rejudging
from surveys.core.compared import compared
from surveys.core.criteria import Criteria
from surveys.models import CriteriaVersion
from surveys.views.criteria import version_of

EVERY = "every"  # ?hoods=every: as if the version judged every hood of the site


def compare_version(request: HttpRequest, pk: int) -> HttpResponse:
    version, today = version_of(request, pk), request.site.today()
    before = beside(version)
    criteria = Criteria.from_dict(version.document)
    every = request.GET.get("hoods") == EVERY
    visible = Hood.objects.visible_to(request.user).filter(site=version.set.site)
    hoods = inventory.without_retired(visible) if every else rejudging.judged_by_set(visible, version.set, today)
    preview = rejudging.preview(hoods, criteria, today)
    return render(request, "surveys/criteria/compare_versions.html", {
        "version": version,
        "before": before,
        "compared": compared(Criteria.from_dict(before.document) if before else None, criteria),
        "preview": preview,
        "stricter": preview.turned(rejudging.STRICTER),
        "easier": preview.turned(rejudging.EASIER),
        "otherwise": preview.turned(rejudging.OTHERWISE),
        "every": every,
        "draft": version.adopted_at is None,
    })  # fmt: skip


def beside(version: CriteriaVersion) -> CriteriaVersion | None:
    """What a version is compared with: a draft with the version in force, an adopted one with the one before it."""
    if version.adopted_at is None:
        return version.set.in_force(version.set.site.today())
    earlier = version.set.versions.filter(adopted_at__isnull=False, number__lt=version.number)
    return earlier.order_by("-number").first()
