"""Which changes of a hood or of an opening end what a survey approved: it was made of the hood as it was then.

The kind decides which checks and limits are asked, and a canopy is never approved; the control decides in which mode the
air was judged; another sash, or a motor on it, opens in another way. A change of these is an event of the hood, under a
name of its own, and ends the approval of every opening. An opening's size, what covers it, its use and the part that is
moved are its own: a change of these ends its approval alone; the same size written in another unit is none. What ended stays ended when it is changed back: nobody can
tell from the register whether it was only written otherwise for an hour. A survey alone approves.

Everything else that is said of a hood (its monitor and points, glass, maker, uses forbidden) changes nothing that was
measured: the next survey looks at it.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from typing import Any, NamedTuple, Protocol

from hoods.core.cover import FIELDS as COVER_MEASURES
from hoods.core.quantity import is_same_length

OF_HOOD = {"kind": "kind-changed", "control": "control-changed", "sash": "sash-changed", "powered": "sash-changed"}
OPENING_CHANGED = "opening-changed"
#: The events that end approvals, in the order in which they are told.
ENDING = (*dict.fromkeys(OF_HOOD.values()), OPENING_CHANGED)
SIZE = frozenset({"width", "height", *COVER_MEASURES})


class Lost(NamedTuple):
    """What changes end of one hood: every approval or some, those of which openings, and whether its label holds no longer."""

    wholly: bool
    label: bool
    openings: frozenset[Hashable] = frozenset()


class Opened(Protocol):
    """An opening as it was before it was changed."""

    @property
    def way(self) -> str: ...
    @property
    def width(self) -> str: ...
    @property
    def height(self) -> str: ...


def of_hood(changed: Iterable[str]) -> list[str]:
    """What happened to a hood of which these fields changed, as its events are called; nothing where no approval ends."""
    changed = set(changed)
    return list(dict.fromkeys(kind for field, kind in OF_HOOD.items() if field in changed))


def of_opening(before: Opened, changed: Mapping[str, Any]) -> bool:
    """Whether these new values end the approval of an opening; to say for the first time what it is does not."""
    if "use" in changed or ("way" in changed and before.way):
        return True
    sized = (name for name in SIZE & set(changed) if not is_same_length(getattr(before, name), changed[name]))
    return bool(before.width and before.height) and any(sized)
