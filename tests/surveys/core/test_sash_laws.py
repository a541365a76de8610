"""Laws of how far each sash may be open: whatever was approved, no line allows what was not measured."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from surveys.core import sash
from surveys.core.approval import narrowed_by
from surveys.core.history import Approved
from surveys.core.units import quantity
from surveys.wording import sentence

PARTS = {"left": "left panel", "centre": "centre panel", "right": "right panel", "panels": "panels open"}


@st.composite
def openings(draw, sashes=("horizontal", "combination")):
    """A sash, and openings of its parts: each of a way, with a width and a height of its own [in]."""
    kind = draw(st.sampled_from(sashes))
    ways = [*PARTS.values(), *(["frame"] if kind == "combination" else [])]
    sizes = st.tuples(st.sampled_from(ways), st.integers(6, 40), st.integers(6, 40))
    found = draw(st.lists(sizes, min_size=1, max_size=6, unique=True))
    several = sash.of_several((way, "") for way, *_size in found)
    return kind, [
        Approved(f"opening {number}", f"{high} in", way=way, opening=number, width=f"{wide} in",
                 of_several=sash.part_of(way) in several)
        for number, (way, wide, high) in enumerate(found)
    ]  # fmt: skip


def inches(text: str):
    return quantity(text, "length").to("in")


@given(openings(), st.data())
def test_law_no_line_allows_what_was_not_measured(of, data):
    kind, measured = of
    approved = data.draw(st.lists(st.sampled_from(measured), min_size=1, unique=True))
    failed = [opening.name for opening in measured if opening not in approved]
    restriction = {"not_openings": failed} | sash.parts_untold((one.way, one.name) for one in measured)
    parts = {sash.part_of(opening.way) for opening in approved}
    lines = sash.lines(approved, kind, restriction)
    told = {part_of(line): sentence(line) for line in lines if is_allowed(line)}
    assert set(told) == parts, "a line for each part"
    assert len(told) == sum(is_allowed(line) for line in lines)
    for part, said in told.items():
        of_part = [opening for opening in approved if sash.part_of(opening.way) == part]
        if part == "frame":
            highest = max(inches(opening.height) for opening in of_part)
            assert said.startswith(f"frame at or below {highest} in ("), said
        else:
            widest = max(inches(opening.width) for opening in of_part)
            assert not any(opening.of_several for opening in of_part) or f"to {widest} in (" in said, said


@given(openings(), st.data())
def test_law_what_is_not_approved_is_told_to_stay_closed(of, data):
    """Whether it failed, was not measured or is not in the register: of each part the lines say that it is shut."""
    kind, measured = of
    approved = data.draw(st.lists(st.sampled_from(measured), min_size=1, unique=True))
    failed = data.draw(st.sampled_from([[], [opening.name for opening in measured if opening not in approved]]))
    restriction = {"not_openings": failed} | sash.parts_untold((one.way, one.name) for one in measured)
    parts = {sash.part_of(opening.way) for opening in approved}
    said = [sentence(line) for line in sash.lines(approved, kind, restriction)]
    panels = parts - {"frame"}
    if kind == "combination" and "frame" not in parts:
        assert "frame stays down" in said or all("frame down" in line for line in said[: len(parts)])
    if kind == "combination" and "frame" in parts:
        assert ("never raise the frame with panels open" in said) == bool(panels)
        assert ("panels stay closed" in said) == (not panels)
    if len(panels) > 1 and "panels" not in panels:
        assert sum(line.startswith("one panel open at a time") for line in said) == 1
    closed = " ".join(line for line in said if "closed" in line)
    for panel in {"left", "centre", "right"} - panels if panels and "panels" not in panels else ():
        assert panel in closed or "all other" in closed, said


def is_allowed(line):
    return line.code.startswith(("open-", "only-"))


def part_of(line):
    return "frame" if "frame" in line.code.split("-")[1] else line.values.get("panel", "panels")


@given(openings(), st.data())
def test_law_what_is_lost_is_named_unless_something_as_large_of_its_way_stands(of, data):
    _kind, measured = of
    ended = data.draw(st.lists(st.sampled_from(measured), min_size=1, unique=True))
    stands = [opening for opening in measured if opening not in ended]
    lost = narrowed_by(stands, ended, one_way=False)
    for opening in ended:
        alike = [one for one in stands if one.way == opening.way]
        is_frame = opening.way == "frame"
        size = (lambda one: inches(one.height)) if is_frame else (lambda one: (inches(one.width), inches(one.height)))
        is_lost = not any(size(one) >= size(opening) for one in alike)
        assert (opening.name in lost.get("not_openings", ())) == is_lost
        assert (lost.get("parts", {}).get(opening.name) == sash.part_of(opening.way)) == is_lost


@given(openings(), st.data())
def test_law_an_approval_that_ends_never_lets_a_sash_be_opened_further(of, data):
    kind, measured = of
    ended = data.draw(st.lists(st.sampled_from(measured), max_size=len(measured) - 1, unique=True))
    stands = [opening for opening in measured if opening not in ended]
    before, after = (sizes(sash.lines(some, kind)) for some in (measured, stands))
    assert set(after) <= set(before)
    assert all(after[part] <= before[part] for part in after)


def sizes(lines):
    """How far each part may be open by the lines: the number before the first unit; 0 where none is said."""
    found = {}
    for line in lines:
        if is_allowed(line):
            far = re.search(r"(?:to|below) (\d+) in", sentence(line))
            found[part_of(line)] = int(far[1]) if far else 0
    return found
