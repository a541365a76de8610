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
#: What is offered as a kind only to be refused, and why.
REFUSED_KINDS = {
    "biological-cabinet": _(
        "A biological cabinet is not kept here: it protects by filtered air in a way that a face velocity does not "
        "show, and other standards judge it."
    ),
    "clean-bench": _(
        "A clean bench is not kept here: it blows air towards the person, and protects the work alone."
    ),
}
#: What the trade calls them besides. Found in a kind that is none of ours, they say why such a thing is not kept.
OTHER_NAMES = {
    "biological-cabinet": (
        "biological cabinet", "biological safety cabinet", "biosafety cabinet", "biosafety hood", "biohazard cabinet",
        "microbiological safety cabinet", "bsc", "msc", "class i cabinet", "class ii cabinet", "class iii cabinet",
        "tissue culture hood", "cell culture hood",
    ),
    "clean-bench": (
        "clean bench", "clean air bench", "clean air cabinet", "laminar flow bench", "laminar flow cabinet",
        "laminar flow hood", "laminar flow", "laminar airflow cabinet", "laminar airflow hood", "laminar airflow", "laf",
    ),
}  # fmt: skip
CANOPY_WITH_SASH = _("A canopy has no sash: choose that it has none, or choose another kind.")
NO_SET_BACK = _("A hood of constant volume has no set-back: choose another use of this opening, or another volume control.")
HAS_SET_BACK = _("Its opening “%(opening)s” is for set-back, and a hood of constant volume has none: check both.")
ALARM_ABOVE = _("The alarm point is above the set point, so the alarm would always sound: check both.")
NOT_KEPT = {"biological-cabinet": _("biological cabinet"), "clean-bench": _("clean bench")}
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
#: The parts that are moved to make an opening, as its way of opening is written.
PANELS = {
    "left panel": _("left panel"),
    "centre panel": _("centre panel"),
    "right panel": _("right panel"),
    "panels": _("panels, several together"),
}
#: What is wrong with what covers a part of an opening, and what would be right.
COVERS = {
    "words": _("Say what covers it, such as: fixed panel."),
    "nowhere": _("Write where it is, such as how far from the left side: with no measure it would cover all."),
    "negative": _("This is below zero: write what was measured."),
    "nothing": _("This is zero, so nothing would be covered: write what was measured, or leave it empty."),
    "outside": _("This reaches over the side of the opening: check it and the size of the opening."),
    "all": _("This would cover the whole opening: check the measures."),
}
WAYS = {"horizontal": PANELS, "combination": {"frame": _("frame, panels closed")} | PANELS}
EVENTS = {
    "installed": _("Installed"),
    "moved": _("Moved"),
    "retired": _("Retired"),
    "hibernated": _("Hibernated"),
    "woken": _("Woken from hibernation"),
    "out-of-service": _("Out of service"),
    "back-in-service": _("Back in service"),
    "repaired": _("Repaired"),
    "kind-changed": _("Kind of hood changed"),
    "control-changed": _("Volume control changed"),
    "sash-changed": _("Sash changed"),
    "opening-changed": _("Opening changed"),
    "overdue-explained": _("Why its survey is overdue"),
}
GLASS = {"tempered": _("tempered"), "laminated": _("laminated")}

#: Settings of a site.
SPEED_UNITS = {"ft/min": _("ft/min"), "m/s": _("m/s")}
LENGTH_UNITS = {"in": _("in"), "mm": _("mm")}
TEMPERATURE_UNITS = {"degC": _("°C"), "degF": _("°F")}
HEIGHTS_FROM = {"airfoil": _("the airfoil"), "work-surface": _("the work surface")}
PAPERS = {"A4": _("A4"), "Letter": _("Letter")}
PRINTER_DPI = {203: _("203 dots an inch"), 300: _("300 dots an inch")}

#: What was done, as the log says it.
ACTIONS = {
    "building-added": _("Building added"),
    "building-changed": _("Building changed"),
    "exhaust-added": _("Exhaust system added"),
    "exhaust-changed": _("Exhaust system changed"),
    "hood-brought-back": _("Brought back into service"),
    "hood-changed": _("What is said of the hood changed"),
    "hood-code-replaced": _("Code replaced"),
    "hood-hibernated": _("Hibernated"),
    "hood-moved": _("Moved"),
    "hood-place-corrected": _("Place in the room corrected"),
    "hood-registered": _("Hood registered"),
    "hood-retired": _("Retired"),
    "hood-taken-out-of-service": _("Taken out of service"),
    "hood-woken": _("Woken from hibernation"),
    "opening-added": _("Opening added"),
    "opening-changed": _("Opening changed"),
    "link-made": _("Link to set a password made"),
    "password-changed": _("Password changed"),
    "password-set": _("Password set"),
    "person-changed": _("What is said of the person changed"),
    "address-mended": _("Address of the person mended"),
    "person-disabled": _("Sign-in closed"),
    "person-enabled": _("Sign-in opened again"),
    "person-invited": _("Person added, link to set a password handed over"),
    "role-ended": _("Role ended"),
    "role-given": _("Role given"),
    "room-added": _("Room added"),
    "room-changed": _("Room changed"),
    "signed-in": _("Signed in"),
    "signed-out": _("Signed out"),
    "site-added": _("Site added"),
    "site-changed": _("Site changed"),
}
