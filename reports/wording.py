"""The words that prints take for codes, in the reader's language."""

from __future__ import annotations

from django.utils.translation import gettext

from hoods import words as hoods
from surveys import wording
from surveys import words as surveys

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
    "answer": surveys.ANSWERS,
    "instrument": surveys.INSTRUMENT_KINDS,
    "velocity": surveys.VELOCITIES,
}


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
