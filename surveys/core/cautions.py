"""The usual cautions about a sash, worded by its kind; a front without one is not told to be closed.

Common practice, no source, but for the frame of a combination sash: users are told to close its panels before they raise it
(as digested from an employer's published safety rules).
"""

from surveys.core.messages import gettext_noop as _

MANY = "many"  # hoods of several kinds, as on the page of a room
#: What met criteria means, and how far it is kept closed while somebody works.
KEPT = {
    "vertical": _(
        "Met criteria means that the hood met this site’s written criteria, at this sash height, on the day of its survey. Keep "
        "the sash low and your head outside."
    ),
    "horizontal": _(
        "Met criteria means that the hood met this site’s written criteria, at these openings, on the day of its survey. Keep "
        "every panel closed that you need not reach through, and your head outside."
    ),
    "combination": _(
        "Met criteria means that the hood met this site’s written criteria, at these openings, on the day of its survey. Keep the "
        "frame low and the panels closed as far as you can, never raise the frame with panels open, and keep your head outside."
    ),
    "none": _(
        "Met criteria means that the hood met this site’s written criteria, as its front stands, on the day of its survey. Nothing "
        "closes this front: keep your head outside, leave nothing running."
    ),
    MANY: _(
        "Met criteria means that a hood met this site’s written criteria, opened as it was measured, on the day of its survey. Keep "
        "its sash low or its panels closed where it has any, and your head outside."
    ),
}
#: While somebody works at it, without what is said elsewhere.
WORKING = {
    "vertical": _("Keep the sash low, between you and the work."),
    "horizontal": _("Keep every panel closed that you need not reach through: glass between you and the work."),
    "combination": _("Keep the frame low and the panels closed as far as you can; never raise the frame with panels open."),
    "none": _("Its front is open and cannot be closed: nothing stands between you and the work."),
}
LEAVING = {
    "vertical": _("Close it when you leave."),
    "horizontal": _("Close every panel when you leave."),
    "combination": _("Lower the frame and close every panel when you leave."),
    "none": _("Leave nothing running in it."),
}
BEHIND = {
    "vertical": _("Keep things 150 mm (6 in) behind the sash."),
    "horizontal": _("Keep things 150 mm (6 in) behind the panels."),
    "combination": _("Keep things 150 mm (6 in) behind the frame and the panels."),
    "none": _("Keep things 150 mm (6 in) behind its edge."),
}
ALARMING = {
    "vertical": _("stop; lower the sash if you need not reach in; step away; call"),
    "horizontal": _("stop; close the panels if you need not reach in; step away; call"),
    "combination": _("stop; lower the frame and close the panels if you need not reach in; step away; call"),
    "none": _("stop; step away; call"),
}
#: While it must not be used.
SHUT = {
    "vertical": _("Keep the sash closed. Start nothing in this hood, add nothing to it."),
    "horizontal": _("Keep the panels closed. Start nothing in this hood, add nothing to it."),
    "combination": _("Keep the frame down and the panels closed. Start nothing in this hood, add nothing to it."),
    "none": _("Its front cannot be closed: keep away. Start nothing in this hood, add nothing to it."),
}
LEFT_SHUT = {
    "vertical": _("Leave its sash closed and tell everybody who works there. Start no repair of your own."),
    "horizontal": _("Leave its panels closed and tell everybody who works there. Start no repair of your own."),
    "combination": _(
        "Leave its frame down and its panels closed, and tell everybody who works there. Start no repair of your own."
    ),
    "none": _("Its front cannot be closed: tell everybody who works there to keep away. Start no repair of your own."),
    MANY: _(
        "Leave the sash or the panels of each that must not be used closed, and tell everybody who works there; of one without "
        "a sash, tell them to keep away."
    ),
}
TOLD = {
    "vertical": _("Tell everybody who works at it. Its label says how high the sash may be and what is excluded."),
    "horizontal": _("Tell everybody who works at it. Its label says which panels may be open and what is excluded."),
    "combination": _("Tell everybody who works at it. Its label says how far frame and panels may be open and what is excluded."),
    "none": _("Tell everybody who works at it. Its label says what is excluded."),
}
#: While it is surveyed: how its alarm is forced, whether it stands as the test asks.
FORCE = {
    "vertical": _("Then force the alarm: raise the sash or cover the sensor, as its maker says, and set it back."),
    "horizontal": _("Then force the alarm: open a panel further or cover the sensor, as its maker says, and set it back."),
    "combination": _(
        "Then force the alarm: raise the frame with the panels closed, open a panel further with the frame down, or cover the sensor, "
        "as its maker says, and set it back."
    ),
    "none": _("Then force the alarm: cover the sensor or reduce the flow, as its maker says, and set it back."),
}
STANDS = {
    "vertical": _("Is the sash at the height of the test?"),
    "horizontal": _("Is the panel open as the test asks, and is every other one closed?"),
    "combination": _("Do frame and panels stand as the test asks?"),
    "none": _("Does the front stand as the test asks?"),
}
#: On a certificate, in one sentence.
PRINTED = {
    "vertical": _(
        "Keep the sash low and your head outside, keep work 150 mm (6 in) behind the sash, close it when you leave."
    ),
    "horizontal": _(
        "Keep every panel closed that you need not reach through and your head outside, keep work 150 mm (6 in) behind the panels, "
        "close them when you leave."
    ),
    "combination": _(
        "Keep the frame low and the panels closed as far as you can, never raise the frame with panels open, keep your head outside, "
        "keep work 150 mm (6 in) behind them, close both when you leave."
    ),
    "none": _(
        "This front is open and cannot be closed: keep your head outside, keep work 150 mm (6 in) behind its edge, leave nothing running."
    ),
}
CAUTIONS = {
    "kept": KEPT, "working": WORKING, "leaving": LEAVING, "behind": BEHIND, "alarming": ALARMING, "shut": SHUT,
    "left-shut": LEFT_SHUT, "told": TOLD, "printed": PRINTED,
    "force": FORCE, "stands": STANDS,
}  # fmt: skip


def caution(what: str, sash: str) -> str:
    """The caution for a kind of sash, marked for translation; of many hoods, or of a kind that is not known, the general one."""
    words = CAUTIONS[what]
    return words.get(sash) or words.get(MANY) or words["vertical"]
