"""Two versions of criteria beside one another: every rule a row, and what of it differs."""

from __future__ import annotations

import copy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from surveys.core.compared import ADDED, CHANGED, REMOVED, SAME, compared
from surveys.core.criteria import Criteria
from tests.surveys.core.surveyed import asked, criteria_dict, limit

BEFORE = criteria_dict(
    limit("average", "80 ft/min"),
    limit("average", None, "120 ft/min", applies_to="working"),
    limit("lowest", "70 ft/min", consequence="restrict", restriction="not for powders"),
    checks=(asked("smoke-at-opening", "fail", "each"), asked("light-works", "note")),
)


def changed(**how):
    """The version before with other limits, checks or rules."""
    made = copy.deepcopy(BEFORE)
    for path, value in how.items():
        part, _, key = path.partition("__")
        if key:
            made[part][int(key) if key.isdigit() else key] = value
        else:
            made[part] = value
    return made


def told(after, before=BEFORE):
    """What differs: (mark, of what, (part, before, after) of each difference)."""
    found = compared(before and Criteria.from_dict(before), Criteria.from_dict(after))
    return [
        (row.mark, _name(row.item), [(part.key, str(part.before), str(part.after)) for part in row.differences])
        for row in found.different
    ]


def _name(item):
    return getattr(item, "key", None) or getattr(item, "check", None) and item.check.code or item.figure.code


LIMITS = BEFORE["limits"]
CASES = [
    # after, what differs, why
    (BEFORE, [], "nothing"),
    (changed(limits__0=limit("average", "90 ft/min")),
     [(CHANGED, "average", [("at_least", "80 ft/min", "90 ft/min")])], "a bound: the same limit, changed"),
    (changed(limits__0=limit("average", "80.0 ft/min")),
     [(CHANGED, "average", [("at_least", "80 ft/min", "80.0 ft/min")])], "digits count where figures are rounded"),
    (changed(limits=LIMITS[1:]), [(REMOVED, "average", [])], "the other limit on the same figure stays itself"),
    (changed(limits=[*LIMITS, limit("spread", None, "20 ft/min")]), [(ADDED, "spread", [])], "one more"),
    (changed(limits=LIMITS[::-1]), [], "their order is no rule"),
    (changed(limits__2=limit("lowest", "70 ft/min")),
     [(CHANGED, "lowest", [("consequence", "restrict", "fail"), ("restriction", "not for powders", "None")])],
     "what it costs"),
    (changed(limits__1=limit("average", None, "150 ft/min", applies_to="each")),
     [(CHANGED, "average", [("at_most", "120 ft/min", "150 ft/min"), ("applies_to", "working", "each")])],
     "the upper end is held to the upper end"),
    (changed(limits__0=limit("highest", "80 ft/min")), [(REMOVED, "average", []), (ADDED, "highest", [])],
     "another figure is another limit"),
    (changed(checks=(BEFORE["checks"][0],)), [(REMOVED, "light-works", [])], "no longer asked"),
    (changed(checks=(*BEFORE["checks"], asked("baffles-set", "note"))), [(ADDED, "baffles-set", [])], "asked now"),
    (changed(checks=(asked("smoke-at-opening", "fail", "working"), BEFORE["checks"][1])),
     [(CHANGED, "smoke-at-opening", [("applies_to", "each", "working")])], "asked of others"),
    (changed(compare="rounded"), [(CHANGED, "compare", [("value", "as-measured", "rounded")])], "how it is compared"),
    (changed(grid__longest_edge="12 in"),
     [(CHANGED, "grid.longest_edge", [("value", "13 in", "12 in")])], "the grid"),
    (changed(due__use_ends_days="30"), [(CHANGED, "due.use_ends_days", [("value", "None", "30")])], "the interval"),
    (changed(must_pass=["working"]), [(CHANGED, "must_pass", [("value", "()", "('working',)")])], "what must pass"),
    (changed(evidence_required=True),
     [(CHANGED, "evidence_required", [("value", "False", "True")])], "evidence is demanded"),
    (changed(smoke_first=True), [(CHANGED, "smoke_first", [("value", "False", "True")])], "smoke comes first"),
    (changed(grid__source="a handbook"), [(CHANGED, "grid.source", [("value", "None", "a handbook")])], "its source"),
]  # fmt: skip


@pytest.mark.parametrize(("after", "expected", "why"), CASES, ids=[case[2] for case in CASES])
def test_what_differs_is_a_row_with_its_parts(after, expected, why):
    assert told(after) == expected, why


def test_without_a_version_before_everything_is_added():
    found = compared(None, Criteria.from_dict(BEFORE))
    assert {row.mark for row in found.rows} == {ADDED}
    assert (len(found.limits), len(found.checks)) == (3, 2)


def test_what_is_the_same_and_what_differs_are_all_rows():
    found = compared(Criteria.from_dict(BEFORE), Criteria.from_dict(changed(limits=LIMITS[:1], compare="rounded")))
    assert sorted(map(repr, (*found.same, *found.different))) == sorted(map(repr, found.rows))
    assert {row.mark for row in found.same} == {SAME}
    assert [row.mark for row in found.limits] == [SAME, REMOVED, REMOVED]


ITEMS = st.lists(
    st.builds(
        limit,
        st.sampled_from(["average", "lowest"]),
        st.sampled_from(["70 ft/min", "80 ft/min"]),
        st.sampled_from([None, "120 ft/min"]),
        applies_to=st.sampled_from(["each", "working"]),
    ),
    max_size=5,
)


@given(ITEMS, ITEMS)
def test_every_limit_of_both_stands_in_exactly_one_row(before, after):
    made = [Criteria.from_dict(criteria_dict(*limits)) for limits in (before, after)]
    rows = compared(*made).limits
    for criteria, side in zip(made, ("before", "after"), strict=True):
        stand = [getattr(row, side) for row in rows if getattr(row, side) is not None]
        assert sorted(map(repr, stand)) == sorted(map(repr, criteria.limits))
    assert [row.after for row in rows if row.after] == list(made[1].limits), "in the order of the new version"
    alike = [limit for limit in made[0].limits if limit in made[1].limits]
    assert len([row for row in rows if row.mark == SAME]) >= len(set(map(repr, alike)))
