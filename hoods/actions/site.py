"""Add a site, change its settings."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import available_timezones

from django.db import transaction
from django.utils.translation import gettext_lazy as _

from hoods import words
from hoods.actions import keeping
from hoods.actions.refusal import Refused
from hoods.models import Hood, Person, Site

FIELDS = (
    "name", "time_zone", "elevation", "speed_unit", "length_unit", "temperature_unit", "height_from", "address",
    "office", "telephone", "emergency", "emergency_telephone", "paper", "printer_dpi",
)  # fmt: skip
CHOICES: dict[str, Any] = {
    "speed_unit": words.SPEED_UNITS, "length_unit": words.LENGTH_UNITS, "temperature_unit": words.TEMPERATURE_UNITS,
    "height_from": words.HEIGHTS_FROM, "paper": words.PAPERS, "printer_dpi": words.PRINTER_DPI,
}  # fmt: skip


class SiteNameTaken(Refused):
    said = _("A site of this name is here already: choose another name.")
    field = "name"


class UnknownZone(Refused):
    said = _("'%(zone)s' is not a time zone: write one such as Europe/London.")
    field = "time_zone"


class HeightsMeasured(Refused):
    """Labels, certificates and records say heights as they were measured: another meaning now would make them untrue."""

    said = _(
        "Surveys of this site are signed with sash heights above %(above)s, and their labels hang on the hoods: measure on from "
        "there."
    )
    field = "height_from"


@transaction.atomic
def add_site(*, name: str, by: Person | None, at: datetime, why: str = "", **what: Any) -> Site:
    """Adds a site; `by` is nobody when the command of a new house adds the first."""
    site = Site(name=name, **_checked(what))
    keeping.add(site, refusal=SiteNameTaken, action="site-added", by=by, at=at, why=why)
    return site


@transaction.atomic
def change_site(*, site: Site, by: Person, at: datetime, why: str = "", **what: Any) -> Site:
    site = Site.objects.select_for_update().get(pk=site.pk)
    if what.get("height_from", site.height_from) != site.height_from and _is_surveyed(site):
        raise HeightsMeasured(above=words.HEIGHTS_FROM[site.height_from])
    keeping.change(site, _checked(what), refusal=SiteNameTaken, action="site-changed", by=by, at=at, why=why)
    return site


def _is_surveyed(site: Site) -> bool:
    return Hood.objects.filter(site=site, surveys__isnull=False).exists()


def _checked(what: dict[str, Any]) -> dict[str, Any]:
    keeping.only(FIELDS, what)
    zone = what.get("time_zone")
    if zone is not None and zone not in available_timezones():
        raise UnknownZone(zone=zone)
    for field, choices in CHOICES.items():
        if field in what:
            keeping.one_of(choices, what[field], field)
    return what
