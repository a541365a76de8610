"""What an earlier record says in digits: points and averages, read exactly or refused; and what counts beside what is signed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from surveys.core import earlier
from surveys.core.earlier import approves, average, lowest, points, why_not_together, why_nowhere
from surveys.core.messages import SENTENCES
from surveys.core.status import DO_NOT_USE, MET_CRITERIA, NOT_SURVEYED, RESTRICTED, status
from surveys.core.units import NotANumber
from tests.surveys.core.histories import LOWER, WORKING, day, event, hood, stop, survey

READ = [
    # text, as kept, average, why
    ("98 101 95 ft/min", "98 101 95 ft/min", Fraction(98), "one row"),
    ("98 101 95 / 103 99 98 fpm", "98 101 95 / 103 99 98 ft/min", Fraction(99), "two rows, the unit in another word"),
    ("98 101 95\r\n103 99 98 ft/min", "98 101 95 / 103 99 98 ft/min", Fraction(99), "a line for each row"),
    ("0.50\t0.48  0.52\nm/s", "0.50 0.48 0.52 m/s", Fraction(1, 2), "tabs, and the unit on a line of its own"),
    ("0 0 ft/min", "0 0 ft/min", Fraction(0), "no flow is a reading"),
    ("98 ft/min", "98 ft/min", Fraction(98), "one point"),
]


@pytest.mark.parametrize(("text", "kept", "mean", "why"), READ, ids=[row[3] for row in READ])
def test_e10_points_are_kept_as_written_and_read_exactly(text, kept, mean, why):
    found = points(text)
    assert (str(found), found.average) == (kept, mean), why
    assert points(str(found)) == found, "and again"


REFUSED = [
    # text, code
    ("98 101 95", "points-without-unit"),
    ("98,5 101 fpm", "number-comma"),
    ("98 101. fpm", "number-half"),
    ("98 fast fpm", "number-plain"),
    ("98 ٣ fpm", "number-digits"),
    ("98 -1 fpm", "number-negative"),
    ("98 101 cfm", "unit-wrong-kind"),
    ("98 101 knots", "unit-unknown"),
    ("98 101fpm", "unit-unknown"),
    ("/ 98 fpm", "points-unreadable"),
    ("98 / / 95 fpm", "points-unreadable"),
    ("fpm", "points-unreadable"),
    (" ".join(["98"] * 401) + " fpm", "points-unreadable"),
]


@pytest.mark.parametrize(("text", "code"), REFUSED, ids=[row[0][:20] for row in REFUSED])
def test_points_that_are_none_are_refused_in_a_sentence(text, code):
    with pytest.raises(NotANumber) as refused:
        points(text)
    assert refused.value.message.code == code
    assert SENTENCES[code] % refused.value.message.values


def test_as_many_points_as_may_be_are_the_control_of_one_more():
    assert len(points(" ".join(["98"] * earlier.MOST_POINTS) + " fpm").values) == 400


TOGETHER = [
    # average, lowest, points, where something is wrong, why
    ("98 ft/min", "", "98 101 95 fpm", None, "exactly"),
    ("97 ft/min", "", "97 98 98 fpm", None, "97.67 cut off"),
    ("98 ft/min", "", "97 98 98 fpm", None, "97.67 rounded"),
    ("99 ft/min", "", "98 98 98 fpm", "average", "a whole digit off"),
    ("97.7 ft/min", "", "97 98 98 fpm", None, "with a decimal"),
    ("97.5 ft/min", "", "97 98 98 fpm", "average", "a decimal that is off"),
    ("0.50 m/s", "", "98 98 98 fpm", None, "98 ft/min is 0.4978 m/s"),
    ("0.52 m/s", "", "98 98 98 fpm", "average", "98 ft/min is not"),
    ("98 ft/min", "91 ft/min", "", None, "a lowest value below it"),
    ("98 ft/min", "98 ft/min", "", None, "all alike"),
    ("98 ft/min", "0.52 m/s", "", "lowest", "102 ft/min is above it"),
    ("98 ft/min", "110 ft/min", "", "lowest", "above the average"),
    ("", "110 ft/min", "98 101 95 fpm", "lowest", "above that of the points"),
    ("", "95 ft/min", "98 101 95 fpm", None, "the lowest of them"),
    ("", "91 ft/min", "", None, "alone"),
    ("", "", "", None, "nothing said"),
]


@pytest.mark.parametrize(("mean", "low", "text", "where", "why"), TOGETHER, ids=[row[4] for row in TOGETHER])
def test_what_cannot_be_true_together_is_said_at_one_of_them(mean, low, text, where, why):
    wrong = why_not_together(mean, low, points(text) if text else None)
    assert (wrong and wrong[0]) == where, why
    if wrong:
        assert SENTENCES[wrong[1].code] % wrong[1].values


def test_what_a_record_lacks_is_made_from_its_points_and_says_so():
    of = points("97 98 98 / 91 99 98 fpm")
    assert average("", of) == ("96.8 ft/min", True)
    assert average("98 ft/min", of) == ("98 ft/min", False)
    assert lowest("", of) == ("91 ft/min", True)
    assert lowest("90 ft/min", of) == ("90 ft/min", False)
    assert (average("", None), lowest("", None)) == (None, None)


APPROVES = [
    # verdict, height of the record, height now, approves, why
    ("pass", "18 in", "18 in", True, "as it is"),
    ("restrict", "16 in", "18 in", True, "lower than it is"),
    ("pass", "457.2 mm", "18 in", True, "the same in another unit"),
    ("pass", "458 mm", "18 in", False, "higher than it is"),
    ("pass", "", "18 in", False, "no height is said"),
    ("pass", "18 in", "", False, "none is known of the opening"),
    ("fail", "18 in", "18 in", False, "failed"),
    ("no-verdict", "18 in", "18 in", False, "without a verdict"),
]


@pytest.mark.parametrize(("verdict", "height", "now", "expected", "why"), APPROVES, ids=[row[4] for row in APPROVES])
def test_a_record_approves_no_opening_higher_than_it_is(verdict, height, now, expected, why):
    assert approves(verdict, height, now, "working") is approves(verdict, height, now, "lower") is expected, why


@pytest.mark.parametrize("use", ["full-open", "set-back", "closed", "pass-through", ""])
def test_a_record_approves_no_opening_that_nobody_works_at(use):
    assert approves("pass", "18 in", "18 in", use) is False


REFUSED = [  # kind, control, state, why nobody may use it by a record
    ("general", "bypass", "", ""), ("canopy", "bypass", "", "canopy"), ("filtered", "constant-volume", "", "filtered"),
    ("general", "two-state", "", "two-state"), ("general", "two-state", "higher", ""),
    ("filtered", "two-state", "higher", "filtered"), ("canopy", "two-state", "", "canopy"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "control", "state", "why"), REFUSED)
def test_of_which_hoods_no_record_lets_anybody_use_one(kind, control, state, why):
    assert why_nowhere(kind, control, state) == why


def old(number: int, verdict: str, on: str, **fields):
    """A result from earlier records that counts."""
    fields = {"signed_here": False, "label_issue": None, "reason": "", "instrument": None, "full": verdict != "fail"} | fields
    return survey(number, verdict, on, hour=0, **fields)._replace(record=0)


COUNTED = [
    # facts, day, status, by earlier records, due, why
    ([old(1, "pass", "2025-03-12")], "2025-03-12", MET_CRITERIA, True, "2026-03-12", "on its own day"),
    ([old(1, "pass", "2025-03-12")], "2025-03-11", NOT_SURVEYED, False, None, "not before it"),
    ([old(1, "restrict", "2025-03-12", restriction={"use": "not for x"})], "2025-04-01", RESTRICTED, True, "2026-03-12", "restricted"),
    ([old(1, "fail", "2025-03-12")], "2025-04-01", DO_NOT_USE, True, None, "failed"),
    ([old(1, "pass", "2024-03-12"), old(2, "fail", "2025-03-12")], "2025-04-01", DO_NOT_USE, True, "2025-03-12", "the last holds"),
    ([old(1, "fail", "2024-03-12"), old(2, "pass", "2025-03-12")], "2025-04-01", MET_CRITERIA, True, "2026-03-12", "and the last frees"),
    ([old(1, "pass", "2025-03-12"), old(2, "no-verdict", "2025-05-01")], "2025-06-01", MET_CRITERIA, True, "2026-03-12", "no verdict changes nothing"),
    ([old(1, "pass", "2025-03-12"), survey(2, "pass", "2025-06-01")], "2025-07-01", MET_CRITERIA, False, "2026-06-01", "signed later"),
    ([old(1, "pass", "2025-06-01"), survey(2, "pass", "2025-03-12")], "2025-07-01", MET_CRITERIA, False, "2026-03-12", "signed earlier holds too"),
    ([old(1, "pass", "2025-06-01"), survey(2, "fail", "2025-03-12")], "2025-07-01", DO_NOT_USE, False, None, "a signed failure is lifted by no record"),
    ([old(1, "fail", "2025-06-01"), survey(2, "pass", "2025-03-12")], "2025-07-01", DO_NOT_USE, True, "2026-03-12", "a later failure bars what is signed"),
    ([old(1, "fail", "2025-06-01"), old(3, "pass", "2025-06-20"), survey(2, "pass", "2025-03-12")], "2025-07-01", MET_CRITERIA, False, "2026-03-12", "unless records themselves end otherwise"),
    ([old(1, "fail", "2025-02-01"), survey(2, "pass", "2025-03-12")], "2025-07-01", MET_CRITERIA, False, "2026-03-12", "one before it does not"),
    ([old(1, "pass", "2025-03-12"), survey(2, "pass", "2025-03-12", hour=0)], "2025-04-01", MET_CRITERIA, False, "2026-03-12", "of one day, what is signed"),
    ([old(1, "pass", "2025-03-12"), survey(2, "no-verdict", "2025-06-01")], "2025-07-01", MET_CRITERIA, True, "2026-03-12", "signed without a verdict"),
    ([old(1, "pass", "2025-03-12"), survey(2, "pass", "2025-06-01", full=False)], "2025-07-01", MET_CRITERIA, False, None, "due by what is signed alone"),
    ([old(1, "pass", "2025-03-12"), event("moved", "2025-05-01")], "2025-07-01", NOT_SURVEYED, True, None, "of another place"),
    ([old(1, "restrict", "2025-06-01"), survey(2, "pass", "2025-03-12")], "2025-07-01", RESTRICTED, False, "2026-03-12", "a later restriction narrows what is signed"),
    ([old(1, "restrict", "2025-06-01"), survey(2, "pass", "2025-03-12")], "2025-05-31", MET_CRITERIA, False, "2026-03-12", "not before its day"),
    ([old(1, "restrict", "2025-02-01"), survey(2, "pass", "2025-03-12")], "2025-07-01", MET_CRITERIA, False, "2026-03-12", "a restriction before it does not"),
    ([old(1, "restrict", "2025-03-12"), survey(2, "pass", "2025-03-12", hour=0)._replace(record=0)], "2025-07-01", MET_CRITERIA, False, "2026-03-12", "of one moment, what is signed"),
    ([old(1, "restrict", "2025-06-01"), old(3, "pass", "2025-06-20"), survey(2, "pass", "2025-03-12")], "2025-07-01", MET_CRITERIA, False, "2026-03-12", "unless a record after it restricts nothing"),
    ([old(3, "pass", "2025-06-20"), old(1, "restrict", "2025-06-01"), survey(2, "pass", "2025-03-12")], "2025-07-01", MET_CRITERIA, False, "2026-03-12", "in whatever order they come"),
    ([old(1, "restrict", "2025-06-01"), old(3, "no-verdict", "2025-06-20"), survey(2, "pass", "2025-03-12")], "2025-07-01", RESTRICTED, False, "2026-03-12", "no verdict changes nothing of it"),
    ([survey(2, "no-verdict", "2025-06-20"), old(1, "restrict", "2025-06-01"), survey(3, "pass", "2025-03-12")], "2025-07-01", RESTRICTED, False, "2026-03-12", "nor does one that is signed"),
    ([old(3, "no-verdict", "2025-05-20"), old(1, "restrict", "2025-06-01"), survey(2, "pass", "2025-03-12")], "2025-07-01", RESTRICTED, False, "2026-03-12", "nor one before it"),
    ([old(4, "fail", "2025-08-01"), old(1, "restrict", "2025-06-01"), survey(2, "pass", "2025-03-12")], "2025-07-01", RESTRICTED, False, "2026-03-12", "what comes after the day is not known"),
    ([old(1, "restrict", "2025-06-01"), survey(2, "fail", "2025-03-12")], "2025-07-01", DO_NOT_USE, False, None, "a restriction frees nothing that is signed"),
    ([old(1, "restrict", "2025-06-01"), survey(2, "pass", "2025-03-12"), stop("2025-06-10")], "2025-07-01", DO_NOT_USE, False, "2026-03-12", "nor anything that is stopped"),
]  # fmt: skip


@pytest.mark.parametrize(("facts", "on", "code", "earlier", "due", "why"), COUNTED, ids=[row[5] for row in COUNTED])
def test_what_counts_of_earlier_records_beside_what_is_signed(facts, on, code, earlier, due, why):
    found = status(hood(event("installed", "2020-01-01"), *facts), day(on))
    assert (found.code, found.earlier is not None, found.flag("not-signed-here") is not None) == (code, earlier, earlier), why
    assert (found.due and found.due.on.isoformat()) == due, why
    assert found.survey is None or not earlier, "what was not signed is never called a survey"


def test_no_label_comes_of_an_earlier_record_and_a_changed_opening_says_so_first():
    granted = status(hood(old(1, "pass", "2025-03-12")), day("2025-04-01"))
    assert (granted.why_no_label.code, granted.in_use, granted.unlabelled) == ("no-label-not-signed-here", True, None)
    assert granted.label_from_before.code == "label-from-before"
    changed = event("opening-changed", "2025-03-20", opening=71)
    narrowed = status(hood(old(1, "pass", "2025-03-12"), changed, approved=(WORKING, LOWER)), day("2025-04-01"))
    assert (narrowed.code, narrowed.why_no_label.code, narrowed.in_use) == (RESTRICTED, "no-label-opening-changed", False)
    assert narrowed.label_from_before is None
    signed = status(hood(survey(1, "pass", "2025-03-12")), day("2025-04-01"))
    assert (signed.why_no_label, signed.label_from_before, signed.in_use) == (None, None, True), "the control"
