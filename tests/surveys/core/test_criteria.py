"""Criteria as a document: read, refused where it has not the agreed shape, and written as it was read."""

from __future__ import annotations

import copy
from fractions import Fraction

import pytest

from surveys.core.checks import CHECKS
from surveys.core.criteria import FIGURES, Criteria
from surveys.core.messages import WrongShape
from surveys.core.units import NotANumber, quantity
from surveys.wording import sentence
from tests.surveys.core.surveyed import asked, criteria_dict, limit

GOOD = criteria_dict(limit("average", "80 ft/min", "120 ft/min"), checks=(asked("smoke-at-opening", "fail", "each"),))


def test_criteria_come_back_as_they_were_written():
    assert Criteria.from_dict(GOOD).as_dict() == GOOD
    assert Criteria.from_dict(Criteria.from_dict(GOOD).as_dict()) == Criteria.from_dict(GOOD)


WRONG = [
    (lambda c: c.update(colour="red"), "colour", "key-unknown"),
    (lambda c: c.pop("compare"), "compare", "key-missing"),
    (lambda c: c.update(compare="truncated"), "compare", "code-unknown"),
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


@pytest.mark.parametrize(("change", "path", "code"), WRONG, ids=[f"{r[1]} {r[2]}" for r in WRONG])
def test_a_wrong_shape_is_refused_at_its_place(change, path, code):
    given = copy.deepcopy(GOOD)
    change(given)
    with pytest.raises(WrongShape) as refused:
        Criteria.from_dict(given)
    assert (path, code) in {(p.path, p.message.code) for p in refused.value.problems}


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
        "monitor-mark-ratio", "alarm-ratio", "alarm-seconds", "light", "noise", "filter-pressure",
    ]  # fmt: skip


def test_a_quantity_that_is_compared_is_exact():
    assert quantity("0.4 m/s").to("ft/min") == Fraction(10000, 127)
    with pytest.raises(NotANumber):
        quantity("0,4 m/s")
