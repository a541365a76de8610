"""Codes of surveys and stops, in words. A code without words here is shown as it is, so old records stay readable."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

#: Why a survey is made.
REASONS = {
    "initial": _("initial"),
    "annual": _("annual"),
    "after-repair": _("after repair"),
    "after-a-move": _("after a move"),
    "after-a-change-of-ventilation": _("after a change of ventilation"),
    "after-long-disuse": _("after long disuse"),
    "large-equipment-placed": _("large equipment placed"),
    "complaint": _("complaint"),
    "after-an-incident": _("after an incident"),
    "wake-from-hibernation": _("wake from hibernation"),
    "retest": _("retest"),
    "other": _("other"),
}
#: Why a hood must not be used: posted at once, or the end of a survey.
STOP_REASONS = {
    "no-flow": _("No flow"),
    "smoke-came-out": _("Smoke came out"),
    "glass-broken": _("Glass broken"),
    "sash-does-not-stay": _("The sash does not stay"),
    "other-danger": _("Another danger"),
}
#: Why a survey could not go on; the hood keeps its status.
PAUSE_REASONS = {
    "called-away": _("Called away"),
    "instrument-failed": _("The instrument failed"),
    "access-withdrawn": _("Access withdrawn"),
    "in-use": _("In use"),
    "not-cleared": _("Not cleared"),
}
