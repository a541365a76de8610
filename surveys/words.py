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
#: What people are told of by mail.
NOTICES = {
    "invited": _("Invited"),
    "link-made": _("Link to set a password"),
    "stop-posted": _("‘Do not use’ posted"),
    "stop-lifted": _("‘Do not use’ lifted"),
    "stop-withdrawn": _("‘Do not use’ withdrawn"),
    "failed": _("Criteria not met"),
    "restricted": _("Restricted"),
    "approval-ended": _("Approval ended by a change"),
    "earlier-accepted": _("Earlier results count"),
    "earlier-withdrawn": _("Earlier results count no longer"),
}
#: Why a mail is given up: it did not go out, and will not.
GIVEN_UP = {
    "disabled": _("the sign-in is disabled"),
    "no-role": _("no role at this site any more"),
    "other-address": _("the address was changed; another mail was made for the new one"),
}
#: Why a survey could not go on; the hood keeps its status.
PAUSE_REASONS = {
    "called-away": _("Called away"),
    "instrument-failed": _("The instrument failed"),
    "access-withdrawn": _("Access withdrawn"),
    "in-use": _("In use"),
    "not-cleared": _("Not cleared"),
}
#: The conditions of a survey, by what is asked.
MODES = {
    "normal": _("normal"),
    "set-back": _("set back"),
    "emergency": _("emergency purge"),
    "not-known": _("not known"),
}
FLOW_STATES = {
    "higher": _("higher flow"),
    "lower": _("lower flow"),
    "maximum": _("maximum flow, confirmed"),
    "controlled": _("flow as its control sets it"),
}
#: Which of them a hood of a control may be tested in.
FLOW_STATES_OF = {"two-state": ("higher", "lower"), "variable-volume": ("maximum", "controlled")}
#: How an alarm was forced.
FORCED = {
    "sash-raised": _("the sash was raised"),
    "frame-raised": _("the frame was raised, panels closed"),
    "panel-opened": _("a panel was opened further"),
    "sensor-covered": _("the sensor was covered"),
    "flow-reduced": _("the flow was reduced"),
    "test-button": _("its test button was pressed"),
    "other": _("another way, told in the notes"),
}
#: Ways that only some sashes can be forced in.
FORCED_BY = {"sash-raised": ("vertical",), "frame-raised": ("combination",), "panel-opened": ("horizontal", "combination")}
DOORS = {
    "closed": _("closed"),
    "open": _("open"),
    "no-doors": _("no doors"),
}
ROOM_PRESSURE = {
    "into-the-room": _("air flows into the room"),
    "out-of-the-room": _("air flows out of the room"),
    "none-felt": _("no flow at the door"),
    "not-looked-at": _("not looked at"),
}
OTHER_HOODS = {
    "none": _("no other hood on the fan"),
    "closed": _("closed"),
    "some-open": _("some open"),
    "wide-open": _("wide open"),
    "not-known": _("not known"),
}

#: Instruments, and what criteria say.
INSTRUMENT_KINDS = {
    "thermal-anemometer": _("thermal anemometer"),
    "rotating-vane": _("rotating vane"),
    "other": _("other"),
}
VELOCITIES = {"actual": _("actual velocity"), "standard": _("standard velocity")}
COSTS = {
    "fail": _("fail: not to be used"),
    "restrict": _("restrict: a use is excluded"),
    "note": _("note: written down only"),
    "undecided": _("not decided yet"),
    "not-asked": _("not asked here"),
}
COMPARED = {
    "as-measured": _("as measured, without rounding"),
    "rounded": _("rounded to the last digit of the limit, half to even"),
}
ANCHORS = {"day": _("to the day"), "month-end": _("to the end of the month")}
#: Answers to a check: every check is asked so that yes is as it should be.
ANSWERS = {
    "yes": _("Yes"),
    "no": _("No"),
    "not-applicable": _("Does not apply"),
    "not-tested": _("Not looked at"),
}

#: How an earlier record says that a survey ended.
EARLIER_RESULTS = {
    "pass": _("pass"),
    "restrict": _("restrict"),
    "fail": _("fail"),
    "no-verdict": _("no verdict"),
}

#: What was done, as the log says it.
ACTIONS = {
    "amendment-started": _("Amendment of a survey started"),
    "benchmark-set": _("Benchmark set"),
    "calibration-recorded": _("Calibration recorded"),
    "criteria-adopted": _("Criteria adopted"),
    "criteria-assigned": _("Criteria assigned"),
    "criteria-draft-changed": _("Draft of criteria changed"),
    "criteria-set-started": _("Set of criteria started"),
    "criteria-version-started": _("Version of criteria started"),
    "earlier-results-accepted": _("Earlier results accepted as counting"),
    "earlier-results-brought-in": _("Earlier results brought in"),
    "earlier-results-struck": _("Earlier results struck"),
    "earlier-results-withdrawn": _("Acceptance of earlier results withdrawn"),
    "finding-arranged": _("Mending of a finding arranged"),
    "finding-closed": _("Finding closed by hand"),
    "instrument-added": _("Instrument added"),
    "instrument-changed": _("What is said of the instrument changed"),
    "instrument-retired": _("Instrument retired"),
    "label-printed": _("Label printed"),
    "label-put-on": _("Label put on"),
    "overdue-explained": _("Overdue survey explained"),
    "qualification-recorded": _("Qualification recorded"),
    "stop-lifted": _("‘Do not use’ lifted"),
    "stop-posted": _("‘Do not use’ posted"),
    "stop-sign-hung": _("Sign hung"),
    "stop-withdrawn": _("‘Do not use’ withdrawn as a mistake"),
    "survey-ended": _("Survey ended early"),
    "survey-signed": _("Survey signed"),
    "survey-started": _("Survey started"),
    "transcription-started": _("Survey from paper started"),
}

#: Panels of a front, as the lines of how far a sash may be open name them.
PANELS = {
    "left": _("left panel"),
    "centre": _("centre panel"),
    "right": _("right panel"),
    "left-centre": _("left and centre panels"),
    "left-right": _("left and right panels"),
    "centre-right": _("centre and right panels"),
}
