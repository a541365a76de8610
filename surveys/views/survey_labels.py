"""What is asked of every survey, in the words in which it is asked and read again: one label a box, in the page's order."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

LABELS = {
    "right_hood": _("Is this the hood in front of you?"),
    "fit": _("Is it fit to work at here?"),
    "reason": _("Reason for the survey"),
    "instrument": _("Instrument"),
    "mode": _("The hood is in"),
    "flow_state": _("Which state was tested"),
    "doors": _("Doors of the room"),
    "room_pressure": _("At the door of the room"),
    "other_hoods": _("Other hoods on the fan"),
    "temperature": _("Room temperature"),
    "pressure": _("Air pressure"),
    "elevation": _("Or elevation of the site"),
    "found_sash": _("Sash found at"),
    "found_open": _("Found open"),
    "found_monitor": _("Monitor shows"),
    "found_somebody": _("Is anybody working at it?"),
    "found_alarm": _("Is the alarm sounding or lit?"),
    "adjusted": _("Was anything adjusted or put right?"),
    "last_controls": _("Are the controls back to automatic?"),
    "last_alarm": _("Is the alarm armed?"),
    "last_stop": _("Is the sash stop engaged?"),
    "last_sash": _("Is the sash closed?"),
    "last_told": _("Has the lab been told what was found?"),
    "notes": _("Notes"),
}
#: The same of a sash with parts, in the words of its kind.
SHUT_AGAIN = {"horizontal": _("Is every panel closed?"), "combination": _("Is the frame down and every panel closed?")}
#: What is asked of the alarm when it is forced, as found and as left.
ALARM_LABELS = {
    "forced": _("How the alarm was forced"),
    "trip": _("Shown when it tripped"),
    "after": _("After how long"),
    "sound": _("Did it sound?"),
    "light": _("Did it light?"),
}
