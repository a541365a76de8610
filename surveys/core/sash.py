"""How far each sash may be open, in words: a line for each way of opening that is approved, then what must not be done.

A vertical sash has one height and needs no lines. Elsewhere a way of opening is the parts that are moved: the frame of a
combination sash, a horizontal panel. A frame was measured with its panels closed, and a panel alone unless an opening is
of several together: no line allows what was not measured. Of a panel that is measured at several openings the line
tells how wide it may be open.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any, Protocol

from surveys.core.codes import FLOW_STATES
from surveys.core.history import Approved
from surveys.core.messages import Message
from surveys.core.units import both, quantity

TOGETHER = "panels"  # several panels, open at one time
PANELS = ("left", "centre", "right", TOGETHER)
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
    @property
    def width(self) -> str: ...
    @property
    def of_several(self) -> bool: ...


def part_of(way: str | None, name: str = "") -> str:
    """The part that is moved: frame, left, centre, right, panels; empty where neither way nor name says one."""
    return _PARTS.get((way or name).strip().lower(), "")


def parts_untold(openings: Iterable[tuple[str | None, str]]) -> dict[str, dict[str, str]]:
    """The panel of each opening whose name does not say it, as a restriction keeps it; each opening by its way and name."""
    parts = {name: part for way, name in openings if (part := part_of(way)) in PANELS and part != part_of(name)}
    return {"parts": parts} if parts else {}


def has_edge_above(sash: str, way: str | None, name: str) -> bool:
    """Whether the lower edge of a sash stands over an opening: a panel has none, nor has a hood without a sash."""
    return sash == "vertical" or (sash == "combination" and part_of(way, name) not in PANELS)


def slides(sash: str, way: str | None, name: str) -> bool:
    """Whether an opening is made by panels that slide aside: its width says how far it is open, and not its height."""
    return sash == "horizontal" or (sash == "combination" and part_of(way, name) in PANELS)


def of_several(openings: Iterable[tuple[str | None, str]]) -> frozenset[str]:
    """The panels of a hood that are measured at more than one opening; each opening by its way and name.

    An opening of which no part is said counts for each panel that its name holds: ‘left fully open’ for the left one.
    """
    found: Counter[str] = Counter()
    for way, name in openings:
        part = part_of(way, name)
        found.update([part] if part else set(name.lower().split()) & set(PANELS))
    return frozenset(part for part in PANELS if found[part] > 1)


def flow_state_of(control: str | None, conditions: Mapping[str, Any]) -> str:
    """Which state of a two-state hood was tested; empty for any other, whose use does not hang on it."""
    state = conditions.get("flow_state")
    return state if control == "two-state" and state in FLOW_STATES else ""


def lines(
    approved: Sequence[Allowed], sash: str, restriction: Mapping[str, Any] | None = None
) -> tuple[Message, ...]:
    """A line for each way of opening that is approved, what must not be done, and what it all depends on.

    A vertical sash has lines only where something is to be said beside its height.
    """
    if not approved:
        return ()
    if sash == "vertical":
        return _of_one_sash(max(approved, key=_height))
    depends = tuple(_depends(approved))
    largest: dict[str, Allowed] = {}
    for opening in approved:
        key = part_of(opening.way, opening.name) or opening.way or opening.name
        if key not in largest or _size(opening, sash) > _size(largest[key], sash):
            largest[key] = opening
    parts = set(largest)
    allowed = [_allowed(part, opening, sash) for part, opening in largest.items()]
    never = _never(parts, sash)
    never += [line for line in _barred(restriction or {}, parts) if line not in never]
    return (*allowed, *never, *depends)


def forbids(line: Message) -> bool:
    """Whether a line says what is not approved, and not how far something may be open."""
    return line.code.startswith(("shut-", "restriction-"))


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
    names = {each["name"] for each in entered["openings"]} | set(known)
    several = of_several((known.get(name, {}).get("way"), name) for name in names)
    if hood.get("kind") == "canopy" and judged["approved"]:
        return (Message("open-canopy"),)
    state = flow_state_of(hood.get("control"), entered.get("conditions") or {})
    approved = [
        Approved(
            each["name"], each["height"], way=stood.get("way") or each["name"],
            cover=(stood.get("cover") or {}).get("by") or "", flow_state=state, width=each.get("width") or "",
            of_several=part_of(stood.get("way"), each["name"]) in several,
        )
        for each in entered["openings"]
        if each["name"] in judged["approved"] and each["height"]
        for stood in [known.get(each["name"], {})]
    ]  # fmt: skip
    return lines(approved, hood["sash"], judged["restriction"])


def _height(opening: Opened) -> Fraction:
    return _mm(opening.height)


def _size(opening: Allowed, sash: str) -> tuple[Fraction, Fraction]:
    """By what the openings of one part are ordered: a panel by its width first, all else by the height alone."""
    wide = opening.width or "0 mm"  # earlier records may not tell it
    return _mm(wide if slides(sash, opening.way, opening.name) else opening.height), _height(opening)


def _mm(length: str) -> Fraction:
    return quantity(length).to("mm")


def _allowed(part: str, opening: Allowed, sash: str) -> Message:
    if part in PANELS and sash != "none" and opening.of_several:
        if not opening.width:  # the bare words would let it be opened to any of its openings
            return Message("open-as-named", {"opening": opening.name})
        down = "-frame-down" if sash == "combination" else ""
        return Message(f"open-{part}-to{down}", {"width": both(opening.width)})
    return _opened(part, opening, sash)


def _opened(part: str, opening: Opened, sash: str) -> Message:
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
    return Message("set-frame", {"height": both(opening.height)}) if part == "frame" else _opened(part, opening, sash)


def _never(parts: set[str], sash: str) -> list[Message]:
    """What no survey measured: the frame with panels open, or several panels open at one time."""
    panels = parts & set(PANELS)
    never = []
    if sash == "combination":
        if panels:
            never.append(Message("never-frame-with-panels" if "frame" in parts else "panels-only"))
        elif "frame" in parts:
            never.append(Message("frame-only"))
    if len(panels) > 1 and TOGETHER not in panels:
        never.append(Message("one-panel-at-a-time"))
    return never


def _barred(restriction: Mapping[str, Any], allowed: set[str]) -> Iterator[Message]:
    """What is said of each opening that was measured and is not approved.

    `parts` of a restriction tells the part where the name of an opening does not.
    """
    parts = restriction.get("parts", {})
    for name in restriction.get("not_openings", ()):
        part = parts.get(name) or part_of(name)
        if part == TOGETHER and part not in allowed and allowed & set(PANELS):
            yield Message("one-panel-at-a-time")
        elif part in PANELS and not allowed & {part, TOGETHER}:
            yield Message(f"shut-{part}")
        else:
            yield Message("restriction-opening", {"opening": f"‘{name}’"})
