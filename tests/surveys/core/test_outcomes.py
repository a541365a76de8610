"""What a limit says of an opening: value, outcome, and why it could not be tested, word for word."""

from fractions import Fraction

import pytest

from surveys.core.messages import Message
from tests.surveys.core.surveyed import answer, asked, criteria_dict, gauge, judged, limit, opening, read, survey_dict


def of_limit(given, *texts, unit="ft/min", criteria=None, sizes=None, **survey):
    """How one limit is judged at one opening."""
    monitor = survey.pop("monitor", None)
    made = survey_dict(read("working", *texts, unit=unit, **({"monitor": monitor} if monitor else {})), **survey)
    made["openings"] = [opening(**(sizes or {}))]
    found = judged(made, criteria_dict(given, **(criteria or {})))
    return found.as_found.openings[0].judgements[0]


def said(code, **values):
    return Message(code, {"opening": "working", **values})


ONE_POINT = {"width": "12 in", "height": "12 in"}
NOT_TESTED = [
    # limit, readings, more, because, why
    (limit("average", "80 ft/min"), (), {}, said("no-traverse", state="as-found"), "nothing was read"),
    (limit("average", "80 ft/min"), ("100", ""), {}, said("points-missing", missing="1", number="2", state="as-found"), "a point without a reading"),
    (limit("average", "80 ft/min"), ("100", "100"), {"sizes": {"width": ""}}, said("size-missing"), "no width"),
    (limit("lowest", "70 ft/min"), ("100", "100"), {"sizes": {"width": ""}, "criteria": {"edge_exclusion": "1 in"}}, said("size-missing"),
     "of a size unknown no point lies far enough from the edge"),
    (limit("lowest", "70 ft/min"), ("60", "60"), {"sizes": {"width": ""}, "criteria": {"edge_exclusion": "1 in"}}, said("size-missing"),
     "nor does one that is slow"),
    (limit("lowest", "70 ft/min"), ("100", "100"), {"criteria": {"edge_exclusion": "6.4 in"}}, said("points-excluded"), "all points left out"),
    (limit("benchmark-ratio", "0.90"), ("100", "100"), {}, said("benchmark-missing"), "no benchmark of this opening"),
    (limit("monitor-error-percent", "-10 %"), ("100", "100"), {}, said("monitor-missing"), "nobody read the monitor"),
    (limit("standard-deviation", None, "5 ft/min"), ("100",), {"sizes": ONE_POINT}, said("one-point"), "one point deviates from nothing"),
    (limit("coefficient-of-variation", None, "5 %"), ("100",), {"sizes": ONE_POINT}, said("one-point"), "nor does its part"),
    (limit("coefficient-of-variation", None, "5 %"), ("0", "0"), {}, said("average-zero"), "a part of nothing"),
    (limit("spread-percent", None, "5 %"), ("0", "0"), {}, said("average-zero"), "a spread of nothing"),
    (limit("spread-percent", None, "5 %"), ("0",), {"sizes": ONE_POINT}, said("average-zero"), "of one point too"),
    (limit("monitor-error-percent", "-10 %"), ("0", "0"), {"monitor": "100 ft/min"}, said("average-zero"), "the monitor was read, the average is nothing"),
    (limit("monitor-mark-ratio", "0.90"), ("100", "100"), {"monitor": "54 Pa"} | gauge(""), said("mark-missing"), "the gauge has no mark"),
    (limit("monitor-mark-ratio", "0.90"), ("100", "100"), gauge(""), said("mark-missing"), "no mark, and nobody read the gauge"),
    (limit("monitor-mark-ratio", "0.90"), ("100", "100"), gauge(), said("monitor-missing"), "nobody read the gauge"),
    (limit("monitor-mark-ratio", "0.90"), ("100", ""), gauge(), said("monitor-missing"), "it is not made of the point that is missing"),
    (limit("monitor-mark-ratio", "0.90"), (), gauge(), said("no-traverse", state="as-found"), "nothing was read, the gauge neither"),
    (limit("average", "80 ft/min"), ("100", "100"), {"calibration_covers": False}, Message("calibration-does-not-cover"), "calibration"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "texts", "more", "because", "why"), NOT_TESTED, ids=[row[4] for row in NOT_TESTED])
def test_a_limit_that_is_not_tested_says_why(given, texts, more, because, why):
    found = of_limit(given, *texts, **more)
    assert (found.outcome, found.because, found.figure, found.limit) == ("not-tested", because, given["figure"], 0)
    assert (found.consequence, found.restriction) == ("fail", None)


def test_a_limit_that_restricts_keeps_its_words_whether_it_is_tested_or_not():
    given = limit("average", "80 ft/min", consequence="restrict", restriction="not for acids")
    for texts, outcome in (((), "not-tested"), (("60", "60"), "not-met"), (("100", "100"), "met")):
        found = of_limit(given, *texts)
        assert (found.outcome, found.restriction, found.consequence) == (outcome, "not for acids", "restrict")


def test_an_average_of_nothing_is_a_figure_like_any_other():
    found = of_limit(limit("average", "80 ft/min"), "0", "0")
    assert (found.outcome, found.value.value, found.because) == ("not-met", 0, None)


TESTED = [
    # limit, readings, unit, compare, value, unit of the value, outcome, compared, why
    (limit("average", "80 ft/min"), ("100", "101"), "ft/min", "as-measured", Fraction(201, 2), "ft/min", "met", None, "as measured"),
    (limit("average", "80 ft/min"), ("79.5", "79.5"), "ft/min", "rounded", Fraction(159, 2), "ft/min", "met", "80 ft/min", "rounded to the last digit"),
    (limit("average", None, "120 ft/min"), ("120.6", "120.4"), "ft/min", "rounded", Fraction(241, 2), "ft/min", "met", "120 ft/min", "half to even"),
    (limit("average", None, "120 ft/min"), ("121", "121"), "ft/min", "rounded", Fraction(121), "ft/min", "not-met", "121 ft/min", "over the most"),
    (limit("average", "0.40 m/s", "120 ft/min"), ("100", "100"), "ft/min", "as-measured", Fraction(127, 250), "m/s", "met", None, "bounds in two units"),
    (limit("average", "0.40 m/s", "120 ft/min"), ("121", "121"), "ft/min", "as-measured", Fraction(15367, 25000), "m/s", "not-met", None, "over the other"),
    (limit("average", "0.40 m/s", "120 ft/min"), ("78", "78"), "ft/min", "as-measured", Fraction(9906, 25000), "m/s", "not-met", None, "under the one"),
    (limit("standard-deviation", "0.01 m/s", "5 ft/min"), ("100", "106"), "ft/min", "as-measured", Fraction(18 * 127**2, 25000**2), "m/s", "met", None,
     "the square of a root takes the square of the factor: 4.24 ft/min"),
    (limit("standard-deviation", "0.01 m/s", "4 ft/min"), ("100", "106"), "ft/min", "as-measured", Fraction(18 * 127**2, 25000**2), "m/s", "not-met", None,
     "over the other"),
    (limit("standard-deviation", None, "4 ft/min"), ("100", "106"), "ft/min", "rounded", Fraction(18), "ft/min", "met", "4 ft/min", "a root is rounded as a root"),
    (limit("standard-deviation", None, "4.2 ft/min"), ("100", "106"), "ft/min", "rounded", Fraction(18), "ft/min", "met", "4.2 ft/min", "to the digits of the limit"),
    (limit("standard-deviation", None, "4.2 ft/min"), ("100", "106"), "ft/min", "as-measured", Fraction(18), "ft/min", "not-met", None, "as measured it is 4.24"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("given", "texts", "unit", "compare", "value", "shown_in", "outcome", "compared", "why"),
    TESTED,
    ids=[row[8] for row in TESTED],
)
def test_a_limit_that_is_tested(given, texts, unit, compare, value, shown_in, outcome, compared, why):
    found = of_limit(given, *texts, unit=unit, criteria={"compare": compare})
    assert (found.value.value, found.value.unit, found.outcome) == (value, shown_in, outcome), why
    assert (found.compared, found.because, found.figure, found.limit) == (compared, None, given["figure"], 0)
    assert found.value.root is given["figure"].startswith("standard")


BROKEN = [
    # limit, readings, value, outcome, why
    (limit("lowest", "70 ft/min"), ("69", ""), 69, "not-met", "one reading under breaks it whatever the other is"),
    (limit("lowest", "70 ft/min"), ("70", ""), None, "not-tested", "one at the limit breaks nothing"),
    (limit("lowest", "70 ft/min"), ("0", ""), 0, "not-met", "a reading of nothing breaks it too"),
    (limit("highest", None, "150 ft/min"), ("151", ""), 151, "not-met", "one reading over"),
    (limit("highest", None, "150 ft/min"), ("150", ""), None, "not-tested", "one at the limit"),
    (limit("highest", "50 ft/min"), ("151", ""), None, "not-tested", "a least is not broken by what is high"),
    (limit("average", "80 ft/min"), ("9", ""), None, "not-tested", "an average is not known before it is full"),
]


@pytest.mark.parametrize(("given", "texts", "value", "outcome", "why"), BROKEN, ids=[row[4] for row in BROKEN])
def test_a_limit_is_broken_before_the_grid_is_full(given, texts, value, outcome, why):
    found = of_limit(given, *texts)
    assert (found.value and found.value.value, found.outcome) == (value, outcome)


def test_a_limit_that_is_broken_stays_so_without_a_calibration_that_covers():
    for texts in (("69", ""), ("69", "100")):
        found = of_limit(limit("lowest", "70 ft/min"), *texts, calibration_covers=False)
        assert (found.outcome, found.value.value, found.because) == ("not-met", 69, None)


@pytest.mark.parametrize("shown", ["100 ft", "100", "fast", "100 in"])
def test_what_a_monitor_cannot_have_shown_is_missing(shown):
    found = of_limit(limit("monitor-error-percent", "-10 %"), "100", "100", monitor=shown)
    assert (found.outcome, found.because) == ("not-tested", said("monitor-missing"))


def test_what_a_monitor_showed_in_another_unit_is_converted():
    found = of_limit(limit("monitor-error-percent", "-10 %"), "100", "100", monitor="0.508 m/s")
    assert (found.outcome, found.value.value) == ("met", 0)


def test_a_figure_keeps_every_bound_that_it_must_not_contradict_and_whether_it_is_a_root():
    limits = [
        limit("average", "80 ft/min", "120 ft/min"),
        limit("average", "0.40 m/s"),
        limit("standard-deviation", None, "5 ft/min"),
    ]
    survey = survey_dict(read("working", "100", "106"), openings=[opening()])
    figures = judged(survey, criteria_dict(*limits)).as_found.openings[0].figures
    assert [bound.text for bound in figures["average"].bounds] == ["80", "120", "0.40"]
    assert [bound.text for bound in figures["standard-deviation"].bounds] == ["5"]
    assert figures["highest"].bounds == ()
    assert {code for code, number in figures.items() if number is not None and number.root} == {
        "standard-deviation", "coefficient-of-variation",
    }  # fmt: skip


CHECKS_JUDGED = [
    # answers, asked, judged as (check, what was answered, outcome), why
    ([answer("light-works", "yes")], ("light-works",), [("light-works", "yes", "met")], "as it should be"),
    ([answer("light-works", "no"), answer("light-works", "yes")], ("light-works",), [("light-works", "no", "not-met")], "a no counts before a yes"),
    (
        [answer("light-works", "yes"), answer("light-works", "not-tested")], ("light-works",),
        [("light-works", "not-tested", "not-tested")], "what was not tested counts before a yes",
    ),
    ([], ("light-works",), [("light-works", None, "not-tested")], "no answer"),
    (
        [answer("light-works", "not-applicable"), answer("outlets-work", "yes")], ("light-works", "outlets-work"),
        [("outlets-work", "yes", "met")], "one that does not apply is taken away, and the next is judged",
    ),
    (
        [answer("wash-down-works", "yes"), answer("outlets-work", "yes")], ("wash-down-works", "outlets-work"),
        [("outlets-work", "yes", "met")], "one that is not for this kind of hood is not asked, and the next is judged",
    ),
    (
        [answer("sash-moves-and-stays", "not-applicable")], ("sash-moves-and-stays",),
        [("sash-moves-and-stays", "not-applicable", "not-tested")], "one that always applies is not tested",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("answers", "codes", "wanted", "why"), CHECKS_JUDGED, ids=[row[3] for row in CHECKS_JUDGED])
def test_a_check_of_the_hood_is_judged_by_its_gravest_answer(answers, codes, wanted, why):
    criteria = criteria_dict(limit("average", "80 ft/min"), checks=tuple(asked(code, "note") for code in codes))
    found = judged(survey_dict(read("working", "100", "100"), answers=answers), criteria)
    assert [(one.check, one.value, one.outcome) for one in found.as_found.hood] == wanted


def test_an_opening_that_the_hood_does_not_have_counts_as_another():
    found = judged(
        survey_dict(read("working", "100", "100"), read("strange", "100", "100")),
        criteria_dict(limit("average", "80 ft/min")),
    )
    assert [(one.opening, one.use) for one in found.as_found.openings] == [("working", "working"), ("strange", "other")]
