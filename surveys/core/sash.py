"""How far each sash may be open, in words: a line for each way of opening that is approved, then what must not be done.

A vertical sash has one height and needs no lines. Elsewhere a way of opening is the parts that are moved: the frame of a
combination sash, a horizontal panel. A frame was measured with its panels closed, and a panel alone unless an opening is
of several together: no line allows what was not measured. Of a panel that is measured at several openings the line
tells how wide it may be open.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Protocol

from hoods.core.part import part_of
from surveys.core.codes import FLOW_STATES
from surveys.core.history import Approved
from surveys.core.messages import Message
from surveys.core.units import both, quantity

TOGETHER = "panels"  # several panels, open at one time
PANELS = ("left", "centre", "right", TOGETHER)
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


def parts_untold(openings: Iterable[tuple[str | None, str]]) -> dict[str, dict[str, str]]:
    """The part of each opening whose name does not say it, as a restriction keeps it; each opening by its way and name."""
    parts = {name: part for way, name in openings if (part := part_of(way)) and part != _part_named(name)}
    return {"parts": parts} if parts else {}


def _part_named(name: str) -> str:
    """The part that a name alone tells: ‘frame at 18 in’ is of the frame."""
    return "frame" if name.strip().lower().startswith("frame") else part_of(name)


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
    approved: Sequence[Allowed], sash: str, restriction: Mapping[str, Any] | None = None, above: str = ""
) -> tuple[Message, ...]:
    """A line for each way of opening that is approved, what must not be done, and what it all depends on.

    A vertical sash has lines only where something is to be said beside its height. `above` is what heights are measured
    from, where nothing else beside the lines says it. What was not measured stays closed as what failed does.
    """
    if not approved:
        return ()
    if sash == "vertical":
        return _of_one_sash(max(approved, key=_height), above)
    largest: dict[str, Allowed] = {}
    for opening in approved:
        key = part_of(opening.way, opening.name) or opening.way or opening.name
        if key not in largest or _size(opening, sash) > _size(largest[key], sash):
            largest[key] = opening
    failed = _failed(restriction or {})
    parts = _Parts(sash, frozenset(largest), frozenset(part for _name, part in failed))
    allowed = [_allowed(part, opening, parts, above) for part, opening in largest.items()]
    barred = [
        Message("restriction-opening", {"opening": f"‘{name}’"}) for name, part in failed if not parts.tells(part)
    ]
    return (*allowed, *parts.never(), *barred, *_depends(approved))


def forbids(line: Message) -> bool:
    """Whether a line says what is not approved, and not how far something may be open."""
    return line.code.startswith(("shut-", "restriction-"))


def _of_one_sash(top: Allowed, above: str) -> tuple[Message, ...]:
    """The height of a vertical sash and what it depends on; nothing where the height alone says it."""
    states = (Message(f"tested-at-{top.flow_state}-flow"),) if top.flow_state else ()
    if top.cover:
        return _at_or_below("open-sash-covered", top, above, cover=top.cover), *states
    return (_at_or_below("open-sash", top, above), *states) if states else ()


def _at_or_below(code: str, opening: Opened, above: str, **values: str) -> Message:
    """A height up to which something may be raised, with what it is measured from where that is to be said."""
    values = {"height": both(opening.height), **values}
    return Message(f"{code}-above", {**values, "above": above}) if above else Message(code, values)


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
    barred = dict(judged["restriction"] or {})
    untold = parts_untold((known.get(name, {}).get("way"), name) for name in barred.get("not_openings", ()))
    barred["parts"] = {**untold.get("parts", {}), **barred.get("parts", {})}
    return lines(approved, hood["sash"], barred, (facts.get("site") or {}).get("height_from") or "")


def _height(opening: Opened) -> Fraction:
    return _mm(opening.height)


def _size(opening: Allowed, sash: str) -> tuple[Fraction, Fraction]:
    """By what the openings of one part are ordered: a panel by its width first, all else by the height alone."""
    wide = opening.width or "0 mm"  # earlier records may not tell it
    return _mm(wide if slides(sash, opening.way, opening.name) else opening.height), _height(opening)


def _mm(length: str) -> Fraction:
    return quantity(length).to("mm")


@dataclass(frozen=True)
class _Parts:
    """Which parts of a sash may be opened, and which failed."""

    sash: str
    allowed: frozenset[str]
    failed: frozenset[str]

    @property
    def panels(self) -> list[str]:
        """The panels that may be open, each alone or several together."""
        return [] if self.sash == "none" else [panel for panel in PANELS if panel in self.allowed]

    @property
    def has_unknown(self) -> bool:
        """Whether something may be open of which nobody said what part it is."""
        return bool(self.allowed - {"frame", *PANELS})

    @property
    def is_one_panel(self) -> bool:
        """Whether of all panels one alone, or several together alone, may be open."""
        return len(self.panels) == 1 and not self.has_unknown

    @property
    def frame_is_shut(self) -> bool:
        return self.sash == "combination" and "frame" not in self.allowed

    def tells(self, part: str) -> bool:
        """Whether the other lines say of a part that failed that it is closed, or how far it may be open."""
        if self.sash == "none" or (part == "frame" and self.sash != "combination"):
            return False
        if part == "frame":
            return not self.has_unknown
        return part in PANELS and (part not in self.allowed or (part != TOGETHER and TOGETHER in self.allowed))

    def never(self) -> Iterator[Message]:
        """What no survey approved: the frame with panels open, several panels at one time, a panel that is not among them."""
        if self.sash == "none":
            return
        if self.sash == "combination" and (self.has_unknown or ("frame" in self.allowed and self.panels)):
            yield Message("never-frame-with-panels")
        elif self.frame_is_shut and len(self.panels) > 1:
            yield Message("shut-frame")
        if self.has_unknown:
            yield Message("each-alone" if len(self.allowed) > 1 else "nothing-else-open")
        yield from self._panels_shut()

    def _panels_shut(self) -> Iterator[Message]:
        """Which panels stay closed: those that failed by their names, those that were never measured together."""
        shut = [panel for panel in PANELS[:3] if panel not in self.allowed]
        failed = [panel for panel in shut if panel in self.failed]
        if TOGETHER in self.allowed:
            yield from (Message("shut-panel-alone", {"panel": panel}) for panel in failed)
        elif self.has_unknown:
            yield from (Message("shut-panel", {"panel": panel}) for panel in failed)
        elif not self.panels:
            yield Message("shut-panels")
        else:
            yield from self._others_shut(failed, has_others=len(shut) > len(failed))

    def _others_shut(self, failed: Sequence[str], *, has_others: bool) -> Iterator[Message]:
        """Beside panels that may be open, each alone: that they are alone, and which others stay closed."""
        if len(self.panels) > 1:
            yield Message("one-panel-others-closed" if has_others else "one-panel-at-a-time")
        elif has_others and not failed:
            yield Message("shut-others")
        if failed:
            code = "shut-panel-and-others" if has_others else "shut-panel" if len(failed) == 1 else "shut-two-panels"
            yield Message(code, {"panel": "-".join(failed)})


def _failed(restriction: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Each opening that was measured and is not approved, with its part: `parts` tells it where a name does not."""
    parts = restriction.get("parts", {})
    return [(name, parts.get(name) or _part_named(name)) for name in restriction.get("not_openings", ())]


def _allowed(part: str, opening: Allowed, parts: _Parts, above: str) -> Message:
    if parts.sash == "none":
        return Message("open-without-sash", {"opening": opening.name, "height": both(opening.height, nearest=True)})
    if part == "frame":
        beside = parts.panels or parts.has_unknown
        return _at_or_below("open-frame" if beside else "open-frame-alone", opening, above)
    if part not in PANELS or (opening.of_several and not opening.width):
        # of a panel of several sizes no bare words: they would let it be opened to any of them
        return Message("open-as-named", {"opening": opening.name})
    only = parts.is_one_panel and (part != TOGETHER or parts.frame_is_shut)
    down = parts.sash == "combination" and (only or not parts.frame_is_shut)
    return _panel(part, "only" if only else "open", opening.width if opening.of_several else "", down)


def _panel(part: str, may: str, width: str, frame_down: bool) -> Message:
    """That a panel, or several together, may be open: alone of all, to which width, with the frame down."""
    code = f"{may}-together" if part == TOGETHER else f"{may}-panel"
    values = {} if part == TOGETHER else {"panel": part}
    if width:
        code, values = f"{code}-to", {**values, "width": both(width)}
    return Message(f"{code}-frame-down" if frame_down else code, values)


def setting(opening: Opened, sash: str) -> Message | None:
    """How a sash is set to measure an opening; None where its height alone says so."""
    part = part_of(opening.way, opening.name)
    if sash == "vertical" or not part:
        return None
    if sash == "none":
        return Message("open-without-sash", {"opening": opening.name, "height": both(opening.height, nearest=True)})
    if part == "frame":
        return Message("set-frame", {"height": both(opening.height)})
    return _panel(part, "open", "", sash == "combination")
