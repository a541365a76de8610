"""Why a version of criteria cannot be adopted, and that nonsense never can be."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from surveys.core import codes
from surveys.core.adoption import why_not_adopt
from surveys.core.checks import CHECKS
from surveys.core.criteria import FIGURES, Criteria
from surveys.core.messages import WrongShape
from surveys.core.units import quantity
from tests.surveys.core.surveyed import asked, criteria_dict, limit

GOOD = criteria_dict(limit("average", "80 ft/min", "120 ft/min"), checks=(asked("smoke-at-opening", "fail", "each"),))


def why_not(given):
    return [(p.path, p.message.code) for p in why_not_adopt(Criteria.from_dict(given))]


def test_the_control_good_criteria_can_be_adopted():
    assert why_not(GOOD) == []


REFUSED = [  # limits, checks, path, code, why
    ([limit("average")], [], "limits.0", "limit-without-bound", "neither at least nor at most"),
    ([limit("average", "120 ft/min", "80 ft/min")], [], "limits.0", "limit-bounds-crossed", "least above most"),
    ([limit("average", "0.6 m/s", "100 ft/min")], [], "limits.0", "limit-bounds-crossed", "118 ft/min is above 100"),
    ([limit("average", "0 ft/min")], [], "limits.0.at_least", "limit-not-above-zero", "a limit of zero says nothing"),
    ([limit("average", None, "-5 ft/min")], [], "limits.0.at_most", "limit-not-above-zero", "never met"),
    ([limit("average", "80 in")], [], "limits.0.at_least", "unit-wrong-kind", "a length for a velocity"),
    ([limit("average", "20 %")], [], "limits.0.at_least", "unit-wrong-kind", "a percentage for a velocity"),
    ([limit("average", "80")], [], "limits.0.at_least", "unit-wrong-kind", "no unit"),
    ([limit("flow", "80 ft/min")], [], "limits.0.at_least", "unit-wrong-kind", "a velocity for a flow"),
    ([limit("deviation-percent", None, "0.20")], [], "limits.0.at_most", "percent-wanted", "percent is written 20 %"),
    ([limit("spread-percent", None, "20 ft/min")], [], "limits.0.at_most", "percent-wanted", "a velocity"),
    ([limit("benchmark-ratio", "90 %")], [], "limits.0.at_least", "ratio-wanted", "a ratio is written 0.90"),
    ([limit("average", "80 ft/min", applies_to="hood")], [], "limits.0.applies_to", "limit-on-hood", "not on the hood"),
    ([limit("average", "80 ft/min", consequence="restrict", restriction=None)], [], "limits.0.restriction",
     "restriction-missing", "restrict without words"),
    ([limit("average", "80 ft/min", consequence="restrict", restriction=" ")], [], "limits.0.restriction",
     "restriction-missing", "restrict with empty words"),
    ([limit("average", "80 ft/min")], [asked("light-works", "undecided")], "checks.0.consequence",
     "consequence-undecided", "nobody has said what it costs"),
    ([limit("average", "80 ft/min")], [asked("light-works", "restrict") | {"restriction": ""}], "checks.0.restriction",
     "restriction-missing", "restrict without words"),
    ([limit("average", "80 ft/min")], [asked("light-works")] * 2, "checks.1", "asked-twice", "twice"),
    ([limit("average", "100 ft/min"), limit("average", None, "80 ft/min")], [], "limits.1.at_most",
     "limits-never-both", "more is wanted than is let be"),
    ([limit("average", None, "80 ft/min"), limit("average", "0.508 m/s")], [], "limits.1.at_least",
     "limits-never-both", "in another unit"),
    ([limit("lowest", "120 ft/min"), limit("average", None, "100 ft/min")], [], "limits.1.at_most",
     "limits-never-both", "no lowest point is above the average"),
    ([limit("average", "100 ft/min"), limit("highest", None, "90 ft/min", applies_to="working")], [], "limits.1.at_most",
     "limits-never-both", "each opening and the working one"),
    ([], [], "limits", "nothing-for-working", "empty"),
    ([limit("average", "80 ft/min", consequence="note")], [], "limits", "nothing-for-working", "a note alone"),
    ([limit("light", "400 lx")], [], "limits.0.applies_to", "limit-not-on-hood", "no opening has a light of its own"),
    ([limit("light", "400 lx", applies_to="hood")], [], "limits", "nothing-for-working", "the light of the hood alone"),
    ([limit("light", "400 lx", "300 lx", applies_to="hood")], [], "limits.0", "limit-bounds-crossed", "no light meets both"),
    ([limit("noise", None, "62 lx", applies_to="hood")], [], "limits.0.at_most", "unit-wrong-kind", "noise in lux"),
    ([limit("average", "80 ft/min", applies_to="lower")], [], "limits", "nothing-for-working", "lower openings alone"),
    ([], [asked("light-works")], "limits", "nothing-for-working", "the hood alone"),
]  # fmt: skip


@pytest.mark.parametrize(("limits", "checks", "path", "code", "why"), REFUSED, ids=[r[4] + " " + r[3] for r in REFUSED])
def test_m2_why_a_version_cannot_be_adopted(limits, checks, path, code, why):
    found = why_not(criteria_dict(*limits, checks=tuple(checks)))
    assert (path, code) in found, why


ADOPTED = [  # limits, checks, why
    ([limit("average", "80 ft/min")], [], "a limit on each candidate"),
    ([limit("average", "80 ft/min", applies_to="working")], [], "a limit on working openings"),
    ([limit("average", "100 ft/min", "100 ft/min")], [], "least equal to most can be met"),
    ([limit("average", "100 ft/min", "0.508 m/s")], [], "equal across units"),
    ([limit("monitor-error-percent", "-10 %", "10 %")], [], "a signed figure may have a limit below zero"),
    ([limit("monitor-error-percent", "0 %")], [], "a signed figure may have a limit of zero"),
    ([limit("benchmark-ratio", "0.90", "1.20")], [], "a ratio"),
    (
        [limit("average", "80 ft/min"), limit("light", "400 lx", applies_to="hood")],
        [],
        "a figure of the hood, of the hood",
    ),
    ([], [asked("smoke-at-opening", "fail", "each")], "a check alone"),
    ([limit("average", "100 ft/min"), limit("average", None, "100 ft/min")], [], "exactly one value meets both"),
    ([limit("average", "100 ft/min"), limit("lowest", None, "90 ft/min")], [], "a lowest point is under the average"),
    (
        [limit("average", "100 ft/min", applies_to="working"), limit("average", None, "80 ft/min", applies_to="lower")],
        [],
        "two openings",
    ),
    (
        [limit("average", "100 ft/min"), limit("average", None, "80 ft/min", consequence="note")],
        [],
        "a note bars nothing",
    ),
]


@pytest.mark.parametrize(("limits", "checks", "why"), ADOPTED, ids=[row[2] for row in ADOPTED])
def test_m2_the_control_what_can_be_adopted(limits, checks, why):
    assert why_not(criteria_dict(*limits, checks=tuple(checks))) == [], why


SAID = [  # part of the document, problems: place, code, values
    ({"limits": [limit("average")]}, [("limits.0", "limit-without-bound", {})]),
    ({"limits": [limit("average"), limit("lowest")]}, [("limits.0", "limit-without-bound", {}), ("limits.1", "limit-without-bound", {})]),
    ({"limits": [limit("average", "120 ft/min", "80 ft/min")]}, [("limits.0", "limit-bounds-crossed", {"least": "120 ft/min", "most": "80 ft/min"})]),
    ({"limits": [limit("average", "0.0 m/s")]}, [("limits.0.at_least", "limit-not-above-zero", {"text": "0.0 m/s"})]),
    ({"limits": [limit("average", "80 ft/min"), limit("average", "80 in", consequence="note")]},
     [("limits.1.at_least", "unit-wrong-kind", {"text": "80 in", "units": "ft/min, m/s"})]),
    ({"limits": [limit("deviation-percent", None, "0.2")]}, [("limits.0.at_most", "percent-wanted", {"figure": "deviation-percent", "text": "0.2"})]),
    ({"limits": [limit("benchmark-ratio", "90 %")]}, [("limits.0.at_least", "ratio-wanted", {"figure": "benchmark-ratio", "text": "90 %"})]),
    ({"limits": [limit("light", "300 lx", applies_to="working")]}, [("limits.0.applies_to", "limit-not-on-hood", {"figure": "light"})]),
    ({"limits": [limit("light", "300 lx", applies_to="hood")]}, []),
    ({"limits": [limit("average", "80 ft/min", applies_to="hood")], "checks": [asked("air-drawn-in", "fail", "each")]},
     [("limits.0.applies_to", "limit-on-hood", {})]),
    ({"limits": [limit("average", "80 ft/min", consequence="restrict", restriction="\t")]}, [("limits.0.restriction", "restriction-missing", {})]),
    ({"limits": [limit("average", "80 ft/min", consequence="note", restriction=None)]}, []),
    ({"limits": [limit("average", "100 ft/min"), limit("average", None, "80 ft/min")]},
     [("limits.1.at_most", "limits-never-both", {"least": "100 ft/min", "most": "80 ft/min", "number": "1"})]),
    ({"limits": [limit("average", None, "80 ft/min", consequence="restrict"), limit("lowest", "60 ft/min"), limit("average", "100 ft/min", consequence="restrict")]},
     [("limits.2.at_least", "limits-never-both", {"least": "100 ft/min", "most": "80 ft/min", "number": "1"})]),
    ({"limits": [limit("lowest", "60 ft/min"), limit("average", None, "80 ft/min"), limit("average", "100 ft/min")]},
     [("limits.2.at_least", "limits-never-both", {"least": "100 ft/min", "most": "80 ft/min", "number": "2"})]),
    ({"checks": [asked("light-works"), asked("light-works", "undecided", "each")]},
     [("checks.1.consequence", "consequence-undecided", {"check": "light-works"})]),
    ({"checks": [asked("light-works"), asked("light-works")]}, [("checks.1", "asked-twice", {"check": "light-works"})]),
    ({"checks": [asked("light-works"), asked("light-works", "restrict", "each") | {"restriction": "\n"}]}, [("checks.1.restriction", "restriction-missing", {})]),
    ({"checks": [asked("light-works", "note") | {"restriction": None}]}, []),
    ({"limits": [], "checks": [asked("smoke-at-opening", "restrict", "working")]}, []),
    ({"limits": [], "checks": [asked("smoke-at-opening", "restrict", "lower")]}, [("limits", "nothing-for-working", {})]),
    ({"grid": {"largest_area": "0 ft**2", "longest_edge": "13 in"}}, [("grid.largest_area", "size-not-above-zero", {"text": "0 ft²"})]),
    ({"grid": {"largest_area": "1 ft**2", "longest_edge": "0 in"}}, [("grid.longest_edge", "size-not-above-zero", {"text": "0 in"})]),
    ({"grid": {"largest_area": "1 ft**2", "longest_edge": "2.9 in"}}, [("grid", "grid-too-fine", {})]),
    ({"grid": {"largest_area": "1 ft**2", "longest_edge": "3 in"}}, []),
    ({"grid": {"largest_area": "9.9 in**2", "longest_edge": "13 in"}}, [("grid", "grid-too-fine", {})]),
    ({"grid": {"largest_area": "10 in**2", "longest_edge": "13 in"}}, []),
    ({"grid": {"margin": "0 mm", "spacing": "-4 mm"}}, [("grid.margin", "size-not-above-zero", {"text": "0 mm"}), ("grid.spacing", "size-not-above-zero", {"text": "-4 mm"})]),
    ({"grid": {"margin": "100 mm", "spacing": "2.9 in"}}, [("grid.spacing", "grid-too-fine", {})]),
    ({"grid": {"margin": "1 mm", "spacing": "3 in"}}, []),
    ({"grid": {"points": "9"}, "edge_exclusion": "20 in"}, []),
    ({"edge_exclusion": "-1 in"}, [("edge_exclusion", "size-not-above-zero", {"text": "-1 in"})]),
    ({"edge_exclusion": "0 in"}, []),
    ({"edge_exclusion": "6.5 in"}, [("edge_exclusion", "exclusion-too-wide", {"text": "6.5 in", "most": "6.5 in"})]),
    ({"edge_exclusion": "6.4 in"}, []),
    ({"least_height": "-1 in"}, [("least_height", "size-not-above-zero", {"text": "-1 in"})]),
    ({"least_height": "60.1 in"}, [("least_height", "height-out-of-reach", {"text": "60.1 in", "most": "60 in"})]),
    ({"least_height": "60 in"}, []),
    *(({"due": GOOD["due"] | {key: text}}, [(f"due.{key}", code, {"text": text})]) for key, text, code in (
        ("months", "0", "months-out-of-range"), ("months", "61", "months-out-of-range"), ("months", "six", "whole-number-wanted"),
        ("grace_days", "-1", "days-out-of-range"), ("grace_days", "367", "days-out-of-range"), ("grace_days", "1.5", "whole-number-wanted"),
        ("use_ends_days", "-1", "days-out-of-range"), ("use_ends_days", "367", "days-out-of-range"), ("use_ends_days", "", "whole-number-wanted"),
    )),
    *(({"due": GOOD["due"] | {key: text}}, []) for key, text in (
        ("months", "1"), ("months", "60"), ("grace_days", "0"), ("grace_days", "366"), ("use_ends_days", "0"), ("use_ends_days", "366"),
    )),
]  # fmt: skip


@pytest.mark.parametrize(("part", "problems"), SAID, ids=[str(row[0]) for row in SAID])
def test_m2_each_problem_stands_at_its_place_with_what_was_written_and_what_would_be_right(part, problems):
    found = why_not_adopt(Criteria.from_dict(GOOD | part))
    assert [(problem.path, problem.message.code, problem.message.values) for problem in found] == problems


GRIDS = [
    # grid                                                          refused with                why
    ({"points": "9"},                                               None,                       "a number of points"),
    ({"points": "6", "source": "programme"},                        None,                       "with its source"),
    ({"margin": "100 mm", "spacing": "400 mm"},                     None,                       "margin and spacing"),
    ({"points": "0"},                                               "grid-points",              "no point at all"),
    ({"points": "9.5"},                                             "grid-points",              "half a point"),
    ({"points": "101"},                                             "grid-points",              "more than can be read"),
    ({"points": "9", "longest_edge": "13 in"},                      "grid-mixed",               "two rules at once"),
    ({"margin": "100 mm"},                                          "key-missing",              "a margin without a spacing"),
    ({},                                                            "key-missing",              "no rule at all"),
    ({"margin": "0 mm", "spacing": "400 mm"},                       "size-not-above-zero",      "points on the edge"),
    ({"margin": "100 mm", "spacing": "50 mm"},                      "grid-too-fine",            "closer than a probe can stand"),
]  # fmt: skip


@pytest.mark.parametrize(("grid", "refused", "why"), GRIDS, ids=[case[-1] for case in GRIDS])
def test_a_grid_is_planned_by_one_rule(grid, refused, why):
    given = criteria_dict({"figure": "average", "at_least": "80 ft/min", "consequence": "fail"}) | {"grid": grid}
    if refused in ("key-missing", "grid-mixed", "grid-points"):
        with pytest.raises(WrongShape) as wrong:
            Criteria.from_dict(given)
        assert refused in {problem.message.code for problem in wrong.value.problems}, why
        return
    made = Criteria.from_dict(given)
    assert {problem.message.code for problem in why_not_adopt(made)} == ({refused} if refused else set()), why
    assert made.as_dict()["grid"] == grid


# --- M2: whatever is thrown together, what can be adopted makes sense -------------------------------------------------

AMOUNT = st.sampled_from(["80 ft/min", "0.4 m/s", "120 ft/min", "0 ft/min", "-5 %", "20 %", "5 %", "0.90", "18 in",
                          "300 ft**3/min", "1 ft**2", "0.1 m**3/s", "400 lx", "60 dBA", "5 s", "250 Pa"])  # fmt: skip
WORDS = st.sampled_from([None, "", " ", "not for volatile poisons"])
APPLIES = st.sampled_from(["each", "hood", *codes.USES])
LIMIT = st.fixed_dictionaries(
    {
        "figure": st.sampled_from([figure.code for figure in FIGURES]),
        "at_least": st.none() | AMOUNT,
        "at_most": st.none() | AMOUNT,
        "applies_to": APPLIES,
        "consequence": st.sampled_from(codes.CONSEQUENCES),
        "restriction": WORDS,
    }
)
ASKED = st.fixed_dictionaries(
    {
        "check": st.sampled_from([check.code for check in CHECKS]),
        "applies_to": APPLIES,
        "consequence": st.sampled_from([*codes.CONSEQUENCES, "undecided"]),
        "restriction": WORDS,
    }
)


@settings(max_examples=400, deadline=None)
@given(st.lists(LIMIT, max_size=3), st.lists(ASKED, max_size=3))
def test_m2_nonsense_can_never_be_adopted(limits, checks):
    given_criteria = criteria_dict(*limits, checks=tuple(checks))
    nonsense = any(_is_nonsense_limit(item) for item in limits) or any(_is_nonsense_check(item) for item in checks)
    costly = [item for item in (*limits, *checks) if item["consequence"] in ("fail", "restrict")]
    nonsense |= any(_never_both(one, other) for one in limits for other in limits if one is not other)
    nonsense |= not any(item["applies_to"] in ("each", "working") for item in costly)
    nonsense |= len({(item["check"], item["applies_to"]) for item in checks}) < len(checks)
    assert bool(why_not(given_criteria)) == nonsense


def _never_both(wants, lets) -> bool:
    """Whether one wants more than the other lets be, by names alone: an order of its own."""
    below = {("lowest", "average"), ("lowest", "highest"), ("average", "highest")}
    pair = (wants["figure"], lets["figure"])
    if "note" in (wants["consequence"], lets["consequence"]) or (pair[0] != pair[1] and pair not in below):
        return False
    places = {wants["applies_to"], lets["applies_to"]}
    if len(places) > 1 and places not in ({"each", "working"}, {"each", "lower"}):
        return False
    if wants["at_least"] is None or lets["at_most"] is None:
        return False
    least, most = quantity(wants["at_least"]), quantity(lets["at_most"])
    return least.kind == most.kind and least.value > most.to(least.unit)


OF_HOOD = {"alarm-ratio", "alarm-seconds", "light", "noise", "filter-pressure", "closed-flow"}


def _is_nonsense_limit(item) -> bool:
    kinds = {figure.code: figure.kind for figure in FIGURES}
    bounds = [item[key] for key in ("at_least", "at_most") if item[key] is not None]
    signed = item["figure"] == "monitor-error-percent"
    if not bounds or (item["applies_to"] == "hood") != (item["figure"] in OF_HOOD):
        return True
    if item["consequence"] == "restrict" and not (item["restriction"] or "").strip():
        return True
    amounts = [quantity(text) for text in bounds]
    if any(a.kind != kinds[item["figure"]] or (a.value <= 0 and not signed) for a in amounts):
        return True
    return len(amounts) == 2 and amounts[0].value > amounts[1].to(amounts[0].unit)


def _is_nonsense_check(item) -> bool:
    words = (item["restriction"] or "").strip()
    return item["consequence"] == "undecided" or (item["consequence"] == "restrict" and not words)
