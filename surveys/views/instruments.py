"""Instruments and their calibrations."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.forms.models import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from hoods.models import Entry, Hood
from hoods.views.page import done, form_page, kept, sent
from surveys import queries
from surveys.actions import instrument as actions
from surveys.forms import instrument as forms
from surveys.models import Instrument


def instrument_list(request: HttpRequest) -> HttpResponse:
    today = request.site.today()
    rows = Instrument.objects.visible_to(request.user).prefetch_related("calibrations")
    lines = [(row, last_calibration(row, today)) for row in rows]
    in_use = [(row, last) for row, last in lines if row.retired_on is None]
    return render(request, "surveys/instruments/list.html", {
        "lines": [(row, last, bool(last and last.covers(today))) for row, last in in_use],
        "retired": [row for row, _last in lines if row.retired_on is not None],
        "covered": sum(1 for _row, last in in_use if last and last.covers(today)),
    })  # fmt: skip


def last_calibration(instrument: Instrument, on: Any) -> Any:
    """As `Instrument.calibration`, from rows that are loaded."""
    done = [row for row in instrument.calibrations.all() if row.done_on <= on]
    return max(done, key=lambda row: (row.done_on, row.pk), default=None)


def instrument_of(request: HttpRequest, pk: int) -> Instrument:
    return get_object_or_404(Instrument.objects.visible_to(request.user), pk=pk)


def instrument(request: HttpRequest, pk: int) -> HttpResponse:
    found, today = instrument_of(request, pk), request.site.today()
    last = found.calibration(today)
    return render(request, "surveys/instruments/instrument.html", {
        "instrument": found,
        "last": last,
        "covers": bool(last and last.covers(today)),
        "calibrations": found.calibrations.order_by("-done_on", "-pk"),
        "in_doubt": queries.in_doubt(found, Hood.objects.visible_to(request.user).filter(site=request.site), today),
        "entries": Entry.objects.of(found)[:50],
    })  # fmt: skip


def add_instrument(request: HttpRequest) -> HttpResponse:
    form = forms.InstrumentOf(sent(request), initial={"kind": "thermal-anemometer", "velocity": "actual"})
    if added := kept(request, form, partial(actions.add_instrument, site=request.site)):
        said = _("%(name)s is added. Record its calibration next.") % {"name": added.name}
        return done(request, said, "surveys:instrument", added.pk)
    return form_page(
        request, form, title=_("Instrument"), where=request.site.name, answer=_("Add an anemometer."),
        after=_("Accuracy, resolution and range are on its data sheet or certificate."), button=_("Add the instrument"),
        back=reverse("surveys:instrument_list"),
    )  # fmt: skip


def change_instrument(request: HttpRequest, pk: int) -> HttpResponse:
    found = instrument_of(request, pk)
    form = forms.ChangedInstrument(sent(request), initial=model_to_dict(found))
    if kept(request, form, partial(actions.change_instrument, instrument=found)):
        return done(request, _("The instrument is changed."), "surveys:instrument", pk)
    return form_page(
        request, form, title=_("Instrument"), where=found.name, answer=_("Change what is said of this instrument."),
        after=_("Surveys that are signed keep what was said then."), button=_("Keep the change"),
        back=reverse("surveys:instrument", args=[pk]),
    )  # fmt: skip


def retire_instrument(request: HttpRequest, pk: int) -> HttpResponse:
    found = instrument_of(request, pk)
    form = forms.RetiredInstrument(sent(request), initial={"on": request.site.today()})
    if kept(request, form, partial(actions.retire_instrument, instrument=found)):
        return done(request, _("%(name)s is retired.") % {"name": found.name}, "surveys:instrument", pk)
    return form_page(
        request, form, title=_("Instrument"), where=found.name, answer=_("Retire this instrument."),
        after=_("It can no longer be chosen for a survey; its calibrations and surveys stay."),
        button=_("Retire the instrument"), danger=True, back=reverse("surveys:instrument", args=[pk]),
    )  # fmt: skip


def record_calibration(request: HttpRequest, pk: int) -> HttpResponse:
    found = instrument_of(request, pk)
    form = forms.CalibrationOf(sent(request))
    if kept(request, form, partial(actions.record_calibration, instrument=found)):
        return done(request, _("The calibration is recorded."), "surveys:instrument", pk)
    return form_page(
        request, form, title=_("Instrument"), where=found.name, answer=_("Record a calibration."),
        after=_("As the certificate says it. It is never changed afterwards; a mistaken one is followed by another."),
        button=_("Record the calibration"), back=reverse("surveys:instrument", args=[pk]),
    )  # fmt: skip
