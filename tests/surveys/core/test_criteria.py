"""Criteria as a document: read, refused where it has not the agreed shape, and written as it was read."""

from __future__ import annotations

import copy
from fractions import Fraction

import pytest

from surveys.core import codes
from surveys.core.checks import CHECK, CHECKS
from surveys.core.criteria import FIGURE, FIGURES, GRID_KEYS, Asked, Criteria, Limit
from surveys.core.messages import WrongShape
from surveys.core.opening import GridRule
from surveys.core.units import NotANumber, Quantity, quantity
from surveys.wording import sentence
from tests.surveys.core.surveyed import asked, criteria_dict, limit

AREA, EDGE = Quantity("1", "ft**2"), Quantity("1", "ft")  # of a rule that plans no cells: never looked at
LENGTHS, AREAS = {"units": "in, ft, mm, cm, m"}, {"units": "ft², in², m², cm²"}
GOOD = criteria_dict(limit("average", "80 ft/min", "120 ft/min"), checks=(asked("smoke-at-opening", "fail", "each"),))


def wrong(given):
    """What is refused of a document: place, code and values of each problem; nothing where it is well shaped."""
    try:
        Criteria.from_dict(given)
    except WrongShape as refused:
        return [(problem.path, problem.message.code, problem.message.values) for problem in refused.problems]
    return []


def test_criteria_come_back_as_they_were_written():
    assert Criteria.from_dict(GOOD).as_dict() == GOOD
    assert Criteria.from_dict(Criteria.from_dict(GOOD).as_dict()) == Criteria.from_dict(GOOD)


def test_what_a_document_leaves_out_is_nothing():
    bare = {key: GOOD[key] for key in ("compare", "grid")} | {"due": {"months": "12"}}
    made = Criteria.from_dict(bare)
    assert (made.edge_exclusion, made.least_height) == (Quantity("0", "in"), Quantity("0", "in"))
    assert made.due == {"months": "12", "anchor": "day", "grace_days": "0", "use_ends_days": None}
    assert (made.must_pass, made.limits, made.checks) == ((), (), ())
    assert (made.evidence_required, made.smoke_first) == (False, False)


def test_every_rule_is_read_from_its_key():
    words = {"restriction": "not with acids", "source": "a handbook", "evidence": "seen"}
    made = Criteria.from_dict({
        "compare": "rounded", "edge_exclusion": "1 in", "least_height": "12 in", "must_pass": ["working", "set-back"],
        "grid": {"largest_area": "2 ft**2", "longest_edge": "14 in"}, "source": "ours", "evidence": "ours",
        "due": {"months": "6", "anchor": "month-end", "grace_days": "30", "use_ends_days": "90", "source": "ours", "evidence": "it"},
        "limits": [{"figure": "lowest", "at_least": "70 ft/min", "at_most": "130 ft/min", "applies_to": "lower", "consequence": "restrict"} | words],
        "checks": [{"check": "light-works", "applies_to": "hood", "consequence": "undecided"} | words],
        "evidence_required": True, "smoke_first": True,
    })  # fmt: skip
    assert made == Criteria(
        compare="rounded", edge_exclusion=Quantity("1", "in"), least_height=Quantity("12", "in"),
        must_pass=("working", "set-back"), grid=GridRule(Quantity("2", "ft**2"), Quantity("14", "in")),
        due={"months": "6", "anchor": "month-end", "grace_days": "30", "use_ends_days": "90"},
        limits=(Limit(FIGURE["lowest"], Quantity("70", "ft/min"), Quantity("130", "ft/min"), "lower", "restrict", **words),),
        checks=(Asked(CHECK["light-works"], "hood", "undecided", **words),), evidence_required=True, smoke_first=True,
    )  # fmt: skip


def test_where_it_is_not_said_a_limit_and_a_check_apply_to_each_opening():
    (said,) = Criteria.from_dict(criteria_dict(limit("average", "80 ft/min"))).limits
    assert (said.applies_to, said.restriction, said.source, said.evidence) == ("each", None, None, None)
    (asked_for,) = Criteria.from_dict(criteria_dict(checks=({"check": "light-works", "consequence": "note"},))).checks
    assert (asked_for.applies_to, asked_for.restriction) == ("each", None)


RULES = [  # grid as written, rule, why
    ({"points": "9"}, GridRule(AREA, EDGE, points=9), "a number of points"),
    ({"points": "1"}, GridRule(AREA, EDGE, points=1), "the fewest"),
    ({"points": "100"}, GridRule(AREA, EDGE, points=100), "the most"),
    ({"margin": "100 mm", "spacing": "400 mm"}, GridRule(AREA, EDGE, Quantity("100", "mm"), Quantity("400", "mm")), "margin and spacing"),
    ({"largest_area": "2 ft**2", "longest_edge": "14 in", "source": "a", "evidence": "b"}, GridRule(Quantity("2", "ft**2"), Quantity("14", "in")), "cells"),
]  # fmt: skip


@pytest.mark.parametrize(("grid", "rule", "why"), RULES, ids=[row[-1] for row in RULES])
def test_one_of_three_rules_plans_the_grid(grid, rule, why):
    assert Criteria.from_dict(GOOD | {"grid": grid}).grid == rule


MISSHAPEN = [  # grid as written, problems
    ({"points": "0"}, [("grid.points", "grid-points", {"text": "0", "most": "100"})]),
    ({"points": "101"}, [("grid.points", "grid-points", {"text": "101", "most": "100"})]),
    ({"points": "9.5"}, [("grid.points", "grid-points", {"text": "9.5", "most": "100"})]),
    ({"points": "٩"}, [("grid.points", "grid-points", {"text": "٩", "most": "100"})]),
    ({"points": "-1"}, [("grid.points", "grid-points", {"text": "-1", "most": "100"})]),
    ({"points": 9}, [("grid.points", "number-as-text", {}), ("grid.points", "grid-points", {"text": "", "most": "100"})]),
    ({"points": "0" * 11}, [("grid.points", "text-too-long", {"length": "11", "most": "10"}),
                            ("grid.points", "grid-points", {"text": "0" * 11, "most": "100"})]),
    ({"margin": "1 %", "spacing": "1 ft/min"}, [("grid.margin", "unit-wrong-kind", LENGTHS | {"text": "1 %"}),
                                                ("grid.spacing", "unit-wrong-kind", LENGTHS | {"text": "1 ft/min"})]),
    ({"margin": "100 mm"}, [("grid.spacing", "key-missing", {"key": "spacing"})]),
    ({"spacing": "400 mm"}, [("grid.margin", "key-missing", {"key": "margin"})]),
    ({"largest_area": "1 in", "longest_edge": "1 in**2"}, [("grid.largest_area", "unit-wrong-kind", AREAS | {"text": "1 in"}),
                                                          ("grid.longest_edge", "unit-wrong-kind", LENGTHS | {"text": "1 in**2"})]),
    ({"points": "9", "margin": "100 mm", "largest_area": "1 ft**2", "longest_edge": "13 in"}, [("grid", "grid-mixed", {})]),
    ({"colour": "red", "points": "9"}, [("grid.colour", "key-unknown", {"key": "colour", "known": ", ".join((*GRID_KEYS, "source", "evidence"))})]),
]  # fmt: skip


@pytest.mark.parametrize(("grid", "problems"), MISSHAPEN, ids=[str(row[0]) for row in MISSHAPEN])
def test_a_grid_is_refused_with_what_would_be_right(grid, problems):
    assert wrong(GOOD | {"grid": grid}) == problems


TOO_MUCH = [  # part of the document, where, most
    ({"must_pass": ["working"] * 11}, "must_pass", "10"),
    ({"limits": GOOD["limits"] * 201}, "limits", "200"),
    ({"checks": GOOD["checks"] * 201}, "checks", "200"),
]


@pytest.mark.parametrize(("part", "path", "most"), TOO_MUCH, ids=[row[1] for row in TOO_MUCH])
def test_a_list_is_as_long_as_anybody_needs(part, path, most):
    ((found, code, values),) = wrong(GOOD | part)
    assert (found, code, values) == (path, "too-many", {"number": str(int(most) + 1), "most": most})
    ((_, just),) = part.items()
    assert wrong(GOOD | {path: just[:-1]}) == [], "the control: one less"


TOO_LONG = [  # the document with a text of so many characters, where, most
    (lambda text: GOOD | {"due": GOOD["due"] | {"months": text}}, "due.months", 10),
    (lambda text: GOOD | {"due": GOOD["due"] | {"grace_days": text}}, "due.grace_days", 10),
    (lambda text: GOOD | {"due": GOOD["due"] | {"use_ends_days": text}}, "due.use_ends_days", 10),
    (lambda text: GOOD | {"limits": [GOOD["limits"][0] | {"source": text}]}, "limits.0.source", 2000),
    (lambda text: GOOD | {"checks": [GOOD["checks"][0] | {"restriction": text}]}, "checks.0.restriction", 2000),
]  # fmt: skip


@pytest.mark.parametrize(("document", "path", "most"), TOO_LONG, ids=[row[1] for row in TOO_LONG])
def test_a_text_is_as_long_as_anybody_needs(document, path, most):
    assert wrong(document("1" * (most + 1))) == [(path, "text-too-long", {"length": str(most + 1), "most": str(most)})]
    assert wrong(document("1" * most)) == [], "the control: one less"


WRONG = [
    (lambda c: c.update(colour="red"), "colour", "key-unknown"),
    (lambda c: c.pop("compare"), "compare", "key-missing"),
    (lambda c: c.update(compare="truncated"), "compare", "code-unknown"),
    (lambda c: c.update(edge_exclusion="1 ft/min"), "edge_exclusion", "unit-wrong-kind"),
    (lambda c: c.update(least_height="1 ft/min"), "least_height", "unit-wrong-kind"),
    (lambda c: c.update(limits="average"), "limits", "shape-wrong"),
    (lambda c: c.update(checks="light-works"), "checks", "shape-wrong"),
    (lambda c: c["limits"][0].update(colour="red"), "limits.0.colour", "key-unknown"),
    (lambda c: c["checks"][0].update(colour="red"), "checks.0.colour", "key-unknown"),
    (lambda c: c["due"].update(colour="red"), "due.colour", "key-unknown"),
    (lambda c: c["limits"][0].update(restriction=5), "limits.0.restriction", "number-as-text"),
    (lambda c: c["limits"][0].update(evidence=5), "limits.0.evidence", "number-as-text"),
    (lambda c: c["checks"][0].update(applies_to="most"), "checks.0.applies_to", "code-unknown"),
    (lambda c: c["checks"][0].pop("consequence"), "checks.0.consequence", "key-missing"),
    (lambda c: c["checks"][0].pop("check"), "checks.0.check", "key-missing"),
    (lambda c: c.pop("grid"), "grid", "shape-wrong"),
    (lambda c: c["grid"].update(longest_edge="13 ft/min"), "grid.longest_edge", "unit-wrong-kind"),
    (lambda c: c["grid"].update(longest_edge="13"), "grid.longest_edge", "unit-missing"),
    (lambda c: c.pop("due"), "due", "shape-wrong"),
    (lambda c: c["due"].pop("months"), "due.months", "key-missing"),
    (lambda c: c["due"].update(anchor="week"), "due.anchor", "code-unknown"),
    (lambda c: c["due"].update(months=12), "due.months", "number-as-text"),
    (lambda c: c["limits"][0].update(figure="niceness"), "limits.0.figure", "code-unknown"),
    (lambda c: c["limits"][0].pop("figure"), "limits.0.figure", "key-missing"),
    (lambda c: c["limits"][0].update(at_least="80,5 ft/min"), "limits.0.at_least", "number-comma"),
    (lambda c: c["limits"][0].update(at_least=80), "limits.0.at_least", "number-as-text"),
    (lambda c: c["limits"][0].update(at_least="80 furlong"), "limits.0.at_least", "unit-unknown"),
    (lambda c: c["limits"][0].update(applies_to="most"), "limits.0.applies_to", "code-unknown"),
    (lambda c: c["limits"][0].pop("consequence"), "limits.0.consequence", "key-missing"),
    (lambda c: c["limits"][0].update(consequence="undecided"), "limits.0.consequence", "code-unknown"),
    (lambda c: c["checks"][0].update(check="is-nice"), "checks.0.check", "code-unknown"),
    (lambda c: c["checks"][0].update(consequence="maybe"), "checks.0.consequence", "code-unknown"),
    (lambda c: c.update(must_pass=["every"]), "must_pass.0", "code-unknown"),
    (lambda c: c.update(must_pass="working"), "must_pass", "shape-wrong"),
    (lambda c: c.update(evidence_required="yes"), "evidence_required", "shape-wrong"),
    (lambda c: c.update(smoke_first="yes"), "smoke_first", "shape-wrong"),
]
MISSING_TOO = {  # what lacks besides, where a whole part of the document is missing
    "grid": [("grid.largest_area", "key-missing"), ("grid.longest_edge", "key-missing")],
    "due": [("due.months", "key-missing")],
}


@pytest.mark.parametrize(("change", "path", "code"), WRONG, ids=[f"{r[1]} {r[2]}" for r in WRONG])
def test_a_wrong_shape_is_refused_at_its_place(change, path, code):
    given = copy.deepcopy(GOOD)
    change(given)
    assert [problem[:2] for problem in wrong(given)] == [(path, code), *MISSING_TOO.get(path, ())]


def test_what_is_refused_is_named_with_what_would_be_right():
    every = "each, " + ", ".join(codes.USES) + ", hood"
    (figures, applies, costs) = wrong(
        GOOD | {"limits": [limit("niceness", "1 ft/min", applies_to="most", consequence="dear")]}
    )
    assert figures == ("limits.0.figure", "code-unknown", {"text": "niceness", "known": ", ".join(FIGURE)})
    assert applies == ("limits.0.applies_to", "code-unknown", {"text": "most", "known": every})
    assert costs == ("limits.0.consequence", "code-unknown", {"text": "dear", "known": "fail, restrict, note"})
    (checks, applies, costs) = wrong(GOOD | {"checks": [asked("is-nice", "dear", "most")]})
    assert checks == ("checks.0.check", "code-unknown", {"text": "is-nice", "known": ", ".join(CHECK)})
    assert applies == ("checks.0.applies_to", "code-unknown", {"text": "most", "known": every})
    assert costs == (
        "checks.0.consequence",
        "code-unknown",
        {"text": "dear", "known": "fail, restrict, note, undecided"},
    )
    assert wrong(GOOD | {"limits": [{"figure": "average", "at_least": "1 ft/min"}]}) == [
        ("limits.0.consequence", "key-missing", {"key": "consequence"})
    ]
    assert wrong(GOOD | {"compare": None}) == [("compare", "key-missing", {"key": "compare"})]


@pytest.mark.parametrize(("said", "demanded"), [({}, False), ({"evidence_required": None}, False),
                                                ({"evidence_required": False}, False), ({"evidence_required": True}, True)])  # fmt: skip
def test_evidence_is_demanded_where_the_document_says_so_and_what_it_says_is_kept(said, demanded):
    made = Criteria.from_dict(GOOD | said)
    assert made.evidence_required is demanded
    assert made.as_dict() == GOOD | said, "a document without the key stays as it is, and so does its hash"


# --- words ------------------------------------------------------------------------------------------------------------

SAID = [
    (("80 ft/min", None), "at least 80 ft/min"),
    ((None, "20 ft/min"), "at most 20 ft/min"),
    (("0.40 m/s", "0.60 m/s"), "from 0.40 m/s to 0.60 m/s"),
]


@pytest.mark.parametrize(("bounds", "said"), SAID)
def test_a_limit_says_itself_with_the_digits_as_written(bounds, said):
    made = Criteria.from_dict(criteria_dict(limit("average", *bounds)))
    assert sentence(made.limits[0].said()) == said


def test_codes_are_lower_case_words_with_hyphens_and_stand_once():
    for table in (FIGURES, CHECKS):
        found = [row.code for row in table]
        assert len(set(found)) == len(found)
        assert all(part.isalpha() and part.islower() for code in found for part in code.split("-"))


def test_the_figures_are_those_of_the_trade_s_list_in_the_order_of_print():
    assert [figure.code for figure in FIGURES] == [
        "average", "lowest", "highest", "spread", "spread-percent", "deviation-percent", "low-deviation-percent",
        "standard-deviation", "coefficient-of-variation", "flow", "benchmark-ratio", "monitor-error-percent",
        "monitor-mark-ratio", "alarm-ratio", "alarm-seconds", "light", "noise", "filter-pressure", "closed-flow",
    ]  # fmt: skip


def test_a_quantity_that_is_compared_is_exact():
    assert quantity("0.4 m/s").to("ft/min") == Fraction(10000, 127)
    with pytest.raises(NotANumber):
        quantity("0,4 m/s")
