"""The benchmarks of a hood: what each of its openings is held to, since when, and why; a new one is set here."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from hoods.models import Hood
from hoods.views.page import done, form_page, kept, sent
from surveys.actions.benchmark import set_benchmark
from surveys.forms.benchmark import NewBenchmark
from surveys.models import Benchmark


def hood_of(request: HttpRequest, pk: int) -> Hood:
    return get_object_or_404(Hood.objects.visible_to(request.user).select_related("site"), pk=pk)


def benchmark_list(request: HttpRequest, pk: int) -> HttpResponse:
    hood, today = hood_of(request, pk), request.site.today()
    rows = Benchmark.objects.filter(opening__hood=hood).select_related("by").order_by("-from_on", "-pk")
    by_opening: dict[int, list[Benchmark]] = {}
    for row in rows:
        by_opening.setdefault(row.opening_id, []).append(row)
    openings = [(opening, by_opening.get(opening.pk, [])) for opening in hood.openings.order_by("order", "pk")]
    return render(request, "surveys/benchmarks.html", {
        "hood": hood,
        "openings": openings,
        "number": sum(1 for _opening, known in openings if any(row.from_on <= today for row in known)),
    })  # fmt: skip


def add_benchmark(request: HttpRequest, pk: int) -> HttpResponse:
    hood = hood_of(request, pk)
    initial = {"opening": request.GET.get("opening", ""), "from_on": request.site.today()}
    form = NewBenchmark(sent(request), hood=hood, initial=initial)
    if benchmark := kept(request, form, set_benchmark):
        said = _("The benchmark of “%(opening)s” is set.") % {"opening": benchmark.opening.name}
        return done(request, said, "surveys:benchmark_list", pk)
    return form_page(
        request, form, title=_("Hood"), where=hood.tag, answer=_("Set the benchmark of an opening."),
        after=_(
            "The benchmark is the average that this opening had when the hood was shown to contain. Criteria may hold "
            "each later average to it. Surveys signed before keep the benchmark that they were judged by."
        ),
        button=_("Set the benchmark"), back=reverse("surveys:benchmark_list", args=[pk]),
    )  # fmt: skip
