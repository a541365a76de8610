"""The words that prints take for codes, in the reader's language."""

from __future__ import annotations

from django.utils.translation import gettext, gettext_lazy

from hoods import words as hoods
from surveys import wording
from surveys import words as surveys
from surveys.core.checks import CHECK
from surveys.core.criteria import FIGURE
from surveys.core.messages import SENTENCES

_KINDS = {
    "kind": hoods.KINDS,
    "control": hoods.CONTROLS,
    "sash": hoods.SASHES,
    "monitor": hoods.MONITORS,
    "glass": hoods.GLASS,
    "reason": surveys.REASONS,
    "ending": surveys.STOP_REASONS | surveys.PAUSE_REASONS,
    "mode": surveys.MODES,
    "doors": surveys.DOORS,
    "room_pressure": surveys.ROOM_PRESSURE,
    "other_hoods": surveys.OTHER_HOODS,
    "flow_state": surveys.FLOW_STATES,
    "answer": surveys.ANSWERS,
    "forced": surveys.FORCED,
    "instrument": surveys.INSTRUMENT_KINDS,
    "velocity": surveys.VELOCITIES,
}


#: A year: where a hood stands on the day, what a survey counts as, what came of a failure.
STATES = {
    "within-interval": gettext_lazy("surveyed within its interval"),
    "by-earlier-records": gettext_lazy("by earlier records, not signed here"),
    "overdue": gettext_lazy("overdue"),
    "not-surveyed": gettext_lazy("waits for a full survey before use"),
    "out-of-service": gettext_lazy("out of service"),
    "hibernated": gettext_lazy("hibernated"),
    "retired": gettext_lazy("retired"),
}
GROUPS = {
    "routine": gettext_lazy("routine"),
    "occasion": gettext_lazy("on an occasion"),
    "repeat": gettext_lazy("repeat"),
}
BECAME = {
    "put-right-on-the-visit": gettext_lazy("put right on the visit"),
    "met-again": gettext_lazy("met criteria again"),
    "still-open": gettext_lazy("not yet met again"),
    "retired": gettext_lazy("retired since"),
    "hibernated": gettext_lazy("hibernated since"),
}
STATUSES = {
    "met-criteria": gettext_lazy("Met criteria"),
    "restricted": gettext_lazy("Restricted"),
    "do-not-use": gettext_lazy("Do not use"),
    "out-of-service": gettext_lazy("Out of service"),
    "hibernated": gettext_lazy("Hibernated"),
    "not-surveyed": gettext_lazy("Not yet surveyed"),
    "retired": gettext_lazy("Retired"),
}

_KINDS |= {"status": STATUSES, "group": GROUPS, "became": BECAME}


def code(kind: str, given: str) -> str:
    """The words for a code of a kind; one that nobody has words for is shown as its own, parted."""
    known = _KINDS.get(kind, {}).get(given)
    if known is not None:
        return str(known)
    found = wording.coded(kind, given)
    return found if found != given else given.replace("-", " ")


def words(text: str) -> str:
    """A sentence in the reader's language."""
    return gettext(text) if text else text


def limit_name(figure: str, check: str) -> str:
    """What a limit or a check of a criteria version is about, to be translated."""
    if figure:
        return FIGURE[figure].name if figure in FIGURE else figure.replace("-", " ")
    return CHECK[check].short if check in CHECK else check.replace("-", " ")


def limit_said(least: str, most: str) -> str:
    """A limit in words: at least 80 ft/min."""
    kind = "between" if least and most else "at-least" if least else "at-most" if most else ""
    return gettext(SENTENCES[kind]) % {"least": least, "most": most} if kind else ""
