"""Codes of what exists, in words. A code without words here is shown as it is, so old records stay readable."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

KINDS = {
    "general": _("general purpose"),
    "high-performance": _("high performance"),
    "auxiliary-air": _("auxiliary air"),
    "floor-mounted": _("floor-mounted"),
    "perchloric-acid": _("perchloric acid"),
    "radioisotope": _("radioisotope"),
    "filtered": _("filtered, air returned to the room"),
    "canopy": _("canopy"),
    "other": _("other"),
}
CONTROLS = {
    "constant-volume": _("constant volume"),
    "bypass": _("constant volume, bypass"),
    "two-state": _("two-state volume"),
    "variable-volume": _("variable volume"),
}
SASHES = {
    "vertical": _("vertical"),
    "horizontal": _("horizontal"),
    "combination": _("combination"),
    "none": _("none"),
}
MONITORS = {
    "none": _("none"),
    "velocity": _("shows velocity"),
    "flow": _("shows flow"),
    "pressure": _("shows pressure"),
    "alarm-only": _("alarm only"),
}
USES = {
    "working": _("working"),
    "lower": _("lower"),
    "full-open": _("fully open"),
    "set-back": _("set-back"),
    "other": _("other"),
}
EVENTS = {
    "installed": _("Installed"),
    "moved": _("Moved"),
    "retired": _("Retired"),
    "hibernated": _("Hibernated"),
    "woken": _("Woken from hibernation"),
    "out-of-service": _("Out of service"),
    "back-in-service": _("Back in service"),
    "repaired": _("Repaired"),
    "opening-changed": _("Opening changed"),
}
GLASS = {"tempered": _("tempered"), "laminated": _("laminated")}

#: Settings of a site.
SPEED_UNITS = {"ft/min": _("ft/min"), "m/s": _("m/s")}
LENGTH_UNITS = {"in": _("in"), "mm": _("mm")}
TEMPERATURE_UNITS = {"degC": _("°C"), "degF": _("°F")}
HEIGHTS_FROM = {"airfoil": _("the airfoil"), "work-surface": _("the work surface")}
PAPERS = {"A4": _("A4"), "Letter": _("Letter")}
PRINTER_DPI = {203: _("203 dots an inch"), 300: _("300 dots an inch")}
