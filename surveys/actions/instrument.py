"""Instruments and their calibrations: add, change, retire, calibrate."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods.actions import keeping
from hoods.actions.refusal import Refused
from hoods.models import Person, Site
from surveys import words
from surveys.models import Calibration, Instrument

FIELDS = (
    "name", "serial", "kind", "accuracy_percent", "accuracy_floor", "resolution", "lowest", "highest", "velocity",
  )  # fmt: skip


class InstrumentNameTaken(Refused):
    said = _("An instrument of this site has this name already: choose another.")
    field = "name"


class CalibrationDay(Refused):
    field = "done_on"


@transaction.atomic
def add_instrument(
    *, site: Site, name: str, serial: str, resolution: str, by: Person, at: datetime, why: str = "", **what: Any
) -> Instrument:
    """Adds an anemometer; the unit of its resolution is the unit in which it is read."""
    _check(what)
    instrument = Instrument(site=site, name=name, serial=serial, resolution=resolution, **what)
    keeping.add(instrument, refusal=InstrumentNameTaken, action="instrument-added", by=by, at=at, why=why)
    return instrument


@transaction.atomic
def change_instrument(*, instrument: Instrument, by: Person, at: datetime, why: str = "", **what: Any) -> Instrument:
    """Changes what is said of an instrument; signed surveys keep what was said when they were signed."""
    _check(what)
    instrument = Instrument.objects.select_for_update().get(pk=instrument.pk)
    if instrument.retired_on is not None:
        raise Refused(_("This instrument is retired: what is said of it stays as it is. Add another instrument."))
    keeping.change(instrument, what, refusal=InstrumentNameTaken, action="instrument-changed", by=by, at=at, why=why)
    return instrument


@transaction.atomic
def retire_instrument(*, instrument: Instrument, on: date, by: Person, at: datetime, why: str = "") -> Instrument:
    """Takes an instrument off the list that surveys choose from."""
    instrument = Instrument.objects.select_for_update().get(pk=instrument.pk)
    if instrument.retired_on is not None:
        raise Refused(_("This instrument is retired already."))
    if on > instrument.site.day_of(at):
        raise Refused(_("This day is still to come: write the day on which it was done."), field="on")
    keeping.change(instrument, {"retired_on": on}, refusal=Refused, action="instrument-retired", by=by, at=at, why=why)
    return instrument


@transaction.atomic
def record_calibration(
    *, instrument: Instrument, certificate: str, done_on: date, due_on: date, by: Person, at: datetime,
    laboratory: str = "", in_tolerance: bool | None = None, why: str = "",
) -> Calibration:  # fmt: skip
    """Records a calibration, from the day it was done until the day it is due, both included.

    `in_tolerance` is what the laboratory found before it adjusted anything: out of tolerance puts what was measured
    since the calibration before in doubt.
    """
    if done_on > instrument.site.day_of(at):
        raise CalibrationDay(_("This day is still to come: write the day on the certificate."))
    if due_on < done_on:
        raise CalibrationDay(_("The calibration is due before it was done: write a later day."), field="due_on")
    if instrument.calibrations.filter(certificate=certificate, done_on=done_on).exists():
        raise CalibrationDay(
            _("This certificate is recorded already: write the number of the new one."), field="certificate"
        )
    calibration = Calibration(
        instrument=instrument, certificate=certificate, laboratory=laboratory, done_on=done_on, due_on=due_on,
        in_tolerance=in_tolerance, at=at, by=by,
    )  # fmt: skip
    keeping.add(
        calibration, refusal=CalibrationDay, action="calibration-recorded", by=by, at=at, why=why, what=instrument
    )
    return calibration


def _check(what: dict[str, Any]) -> None:
    keeping.only(FIELDS, what)
    if "kind" in what:
        keeping.one_of(words.INSTRUMENT_KINDS, what["kind"], "kind")
    if "velocity" in what:
        keeping.one_of(words.VELOCITIES, what["velocity"], "velocity")
