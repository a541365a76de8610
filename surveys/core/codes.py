"""Closed lists of codes that core judges by. Codes are lower-case words with hyphens, stored as plain text, for ever.

The words for them are the shell's (hoods/words.py, surveys/words.py).
"""

HOOD_KINDS = (
    "general", "high-performance", "auxiliary-air", "floor-mounted", "perchloric-acid", "radioisotope", "filtered",
    "canopy", "other",
)  # fmt: skip
CONTROLS = ("constant-volume", "bypass", "two-state", "variable-volume")
SASHES = ("vertical", "horizontal", "combination", "none")
MONITORS = ("none", "velocity", "flow", "pressure", "alarm-only")

MONITORS_WITH_ALARM = MONITORS[1:]
#: How an alarm was forced, and whether it sounded and lit.
FORCED = ("sash-raised", "frame-raised", "panel-opened", "sensor-covered", "flow-reduced", "test-button", "other")
YES_NO = ("yes", "no")

NOT_FOR_VAPOURS = "not for hazardous vapours"  # of every canopy, as its restriction says
FLOW_STATES = ("higher", "lower")  # of a two-state hood
MAXIMUM_FLOW = "maximum"  # of a variable-volume hood: confirmed that its control raises it no further
USES = ("working", "lower", "full-open", "set-back", "other")
CANDIDATE_USES = ("working", "lower")
STATES = ("as-found", "as-left")
ANSWERS = ("yes", "no", "not-applicable", "not-tested")
CONSEQUENCES = ("fail", "restrict", "note")
VERDICTS = ("pass", "restrict", "fail", "no-verdict")

SURVEY_REASONS = (
    "initial", "annual", "after-repair", "after-a-move", "after-a-change-of-ventilation", "after-long-disuse",
    "large-equipment-placed", "complaint", "after-an-incident", "wake-from-hibernation", "retest", "other",
)  # fmt: skip

# Reasons for ending a survey before everything is done: the first kind stops the hood, the second does not.
REASONS_THAT_STOP_A_HOOD = ("no-flow", "smoke-came-out", "glass-broken", "sash-does-not-stay", "other-danger")
REASONS_TO_LEAVE = ("called-away", "instrument-failed", "access-withdrawn", "in-use", "not-cleared")
ENDING_REASONS = REASONS_THAT_STOP_A_HOOD + REASONS_TO_LEAVE
