"""How far each sash may be open, in words: a line for each way of opening that is approved, then what must not be done.

A vertical sash has one height and needs no lines. Elsewhere a way of opening is the parts that are moved: the frame of a
combination sash, a horizontal panel. Panels were measured one at a time, and a frame with its panels closed, so that no
line allows two of them together.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any, Protocol

from surveys.core.codes import FLOW_STATES
from surveys.core.history import Approved
from surveys.core.messages import Message
from surveys.core.units import LENGTH, both, quantity

PANELS = ("left", "centre", "right", "panels")
# The ways that inventory offers, and what openings were called before it did. Another text is told as it was written.
_PARTS = {
    "frame": "frame", "frame raised": "frame", "left": "left", "left panel": "left", "centre": "centre",
    "centre panel": "centre", "center": "centre", "right": "right", "right panel": "right", "panels": "panels",
    "panels open": "panels",
}  # fmt: skip

# Of a front that is drawn 120 wide and 90 high: where each part opens it, from the left, from the top, how wide and high.
FRONT = (120, 90)
PLACES = {
    "frame": (6, 54, 108, 30), "left": (6, 30, 36, 54), "centre": (42, 30, 36, 54), "right": (78, 30, 36, 54),
    "panels": (24, 30, 72, 54), "": (6, 30, 108, 54),
}  # fmt: skip


class Opened(Protocol):
    """An opening by the parts that open it."""

    @property
    def name(self) -> str: ...
    @property
    def height(self) -> str: ...
    @property
    def way(self) -> str: ...


class Allowed(Opened, Protocol):
    """What of an approved opening is told."""

    @property
    def cover(self) -> str: ...
    @property
    def flow_state(self) -> str: ...


def part_of(way: str | None, name: str = "") -> str:
    """The part that is moved: frame, left, centre, right, panels; empty where neither way nor name says one."""
    return _PARTS.get((way or name).strip().lower(), "")


def has_edge_above(sash: str, way: str | None, name: str = "") -> bool:
    """Whether the lower edge of a sash stands over an opening: a panel has none, nor has a hood without a sash."""
    return sash == "vertical" or (sash == "combination" and part_of(way, name) not in PANELS)


def flow_state_of(control: str, conditions: Mapping[str, Any]) -> str:
    """Which state of a two-state hood was tested; empty for any other, whose use does not hang on it."""
    state = conditions.get("flow_state")
    return state if control == "two-state" and state in FLOW_STATES else ""


def lines(approved: Sequence[Allowed], sash: str, barred: Sequence[str] = ()) -> tuple[Message, ...]:
    """A line for each way of opening that is approved, what must not be done, and what it all depends on.

    A vertical sash has lines only where something is to be said beside its height.
    """
    if not approved:
        return ()
    if sash == "vertical":
        return _of_one_sash(max(approved, key=_height))
    depends = tuple(_depends(approved))
    highest: dict[str, Allowed] = {}
    for opening in approved:
        key = part_of(opening.way, opening.name) or opening.way or opening.name
        if key not in highest or _height(opening) > _height(highest[key]):
            highest[key] = opening
    allowed = [_allowed(part, opening, sash) for part, opening in highest.items()]
    return (*allowed, *_never(set(highest), sash), *(_barred(name, set(highest)) for name in barred), *depends)


def _of_one_sash(top: Allowed) -> tuple[Message, ...]:
    """The height of a vertical sash and what it depends on; nothing where the height alone says it."""
    states = (Message(f"tested-at-{top.flow_state}-flow"),) if top.flow_state else ()
    values = {"height": both(top.height), "cover": top.cover}
    if top.cover:
        return Message("open-sash-covered", values), *states
    return (Message("open-sash", {"height": values["height"]}), *states) if states else ()


def _depends(approved: Sequence[Allowed]) -> Iterator[Message]:
    """What stood as it was while an opening was measured: what covers it, and the state of the flow."""
    for opening in approved:
        if opening.cover:
            yield Message("cover-stays", {"cover": opening.cover, "opening": opening.name})
    for state in dict.fromkeys(opening.flow_state for opening in approved if opening.flow_state):
        yield Message(f"tested-at-{state}-flow")


def as_judged(facts: Mapping[str, Any], entered: Mapping[str, Any], judged: Mapping[str, Any]) -> tuple[Message, ...]:
    """The lines of one survey, from the parts of its record: the hood and its openings, what was entered, what was judged."""
    known, hood = {each["name"]: each for each in facts["openings"]}, facts["hood"]
    if hood.get("kind") == "canopy" and judged["approved"]:
        return (Message("open-canopy"),)
    state = flow_state_of(hood.get("control") or "", entered.get("conditions") or {})
    approved = [
        Approved(
            each["name"], each["height"], way=stood.get("way") or each["name"],
            cover=(stood.get("cover") or {}).get("by") or "", flow_state=state,
        )
        for each in entered["openings"]
        if each["name"] in judged["approved"] and each["height"]
        for stood in [known.get(each["name"], {})]
    ]  # fmt: skip
    return lines(approved, hood["sash"], (judged["restriction"] or {}).get("not_openings", ()))


def _height(opening: Opened) -> Fraction:
    return quantity(opening.height, LENGTH).to("mm")


def _allowed(part: str, opening: Opened, sash: str) -> Message:
    if sash == "none":
        return Message("open-without-sash", {"opening": opening.name, "height": both(opening.height)})
    if part == "frame":
        return Message("open-frame", {"height": both(opening.height)})
    if part in PANELS:
        return Message(f"open-{part}-frame-down" if sash == "combination" else f"open-{part}")
    return Message("open-as-named", {"opening": opening.name})


def setting(opening: Opened, sash: str) -> Message | None:
    """How a sash is set to measure an opening; None where its height alone says so."""
    part = part_of(opening.way, opening.name)
    if sash == "vertical" or not part:
        return None
    return Message("set-frame", {"height": both(opening.height)}) if part == "frame" else _allowed(part, opening, sash)


def _never(parts: set[str], sash: str) -> list[Message]:
    """What no survey measured: two parts open together."""
    panels = parts & set(PANELS)
    never = []
    if sash == "combination":
        if panels:
            never.append(Message("never-frame-with-panels" if "frame" in parts else "panels-only"))
        elif "frame" in parts:
            never.append(Message("frame-only"))
    if len(panels) > 1:
        never.append(Message("one-panel-at-a-time"))
    return never


def _barred(name: str, allowed: set[str]) -> Message:
    """An opening that was measured and is not approved."""
    part = part_of(None, name)
    if part in PANELS and part not in allowed:
        return Message(f"shut-{part}")
    return Message("restriction-opening", {"opening": f"‘{name}’"})
