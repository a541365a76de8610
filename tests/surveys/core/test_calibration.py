"""Which days a calibration covers, and which came into doubt."""

from datetime import date

import pytest

from surveys.core.calibration import Calibrated, Doubt, covers, doubts, governing, in_doubt


def day(text: str) -> date:
    return date.fromisoformat(text)


def calibrated(done_on: str, due_on: str, in_tolerance=True) -> Calibrated:
    return Calibrated(day(done_on), day(due_on), in_tolerance)


YEARLY = [calibrated("2025-05-01", "2026-05-01"), calibrated("2026-06-10", "2027-06-10")]
SHORTER = [calibrated("2025-05-01", "2027-05-01"), calibrated("2026-06-10", "2026-12-10")]

COVERED = [
    # calibrations, day,          covered, why
    (YEARLY, "2025-04-30", False, "before the first"),
    (YEARLY, "2025-05-01", True, "the day it was done"),
    (YEARLY, "2026-05-01", True, "T13: the day it is due is still covered"),
    (YEARLY, "2026-05-02", False, "T13: the day after is not"),
    (YEARLY, "2026-06-09", False, "the gap between two"),
    (YEARLY, "2026-06-10", True, "the next one"),
    (SHORTER, "2026-12-11", False, "the last one governs, though the one before would have lasted"),
    ([], "2026-01-01", False, "never calibrated"),
    ([calibrated("2026-01-01", "2026-12-31", False)], "2026-06-01", True, "out of tolerance as found: right since"),
]


@pytest.mark.parametrize(("calibrations", "on", "covered", "why"), COVERED)
def test_t13_a_calibration_covers_its_first_and_last_day(calibrations, on, covered, why):
    assert covers(calibrations, day(on)) is covered, why
    assert covers(list(reversed(calibrations)), day(on)) is covered, "the order of rows does not matter"


def test_of_two_calibrations_on_one_day_the_later_given_governs():
    first, second = calibrated("2026-01-01", "2026-06-01"), calibrated("2026-01-01", "2027-01-01")
    assert governing([first, second], day("2026-02-01")) == second
    assert governing([second, first], day("2026-02-01")) == first


def test_an_instrument_found_out_of_tolerance_puts_the_time_since_the_last_calibration_in_doubt():
    good, bad = calibrated("2025-05-01", "2026-05-01"), calibrated("2026-04-20", "2027-04-20", False)
    assert doubts([bad, good]) == (Doubt(day("2025-05-01"), day("2026-04-20"), day("2026-04-20")),)
    assert doubts([bad]) == (Doubt(date.min, day("2026-04-20"), day("2026-04-20")),), "every earlier day"
    assert doubts([good]) == ()
    assert doubts([good, bad._replace(in_tolerance=None)]) == (), "not said is not 'out of tolerance'"


DOUBTED = [
    # measured on,  asked on,     since,        why
    ("2025-04-30", "2026-12-01", None, "before the calibration before"),
    ("2025-05-01", "2026-12-01", "2026-04-20", "the day of the calibration before"),
    ("2026-04-20", "2026-12-01", "2026-04-20", "the day it was found"),
    ("2026-04-21", "2026-12-01", None, "adjusted since"),
    ("2026-01-01", "2026-04-19", None, "nobody knew yet"),
    ("2026-01-01", "2026-04-20", "2026-04-20", "known from the day it was found"),
]


@pytest.mark.parametrize(("done_on", "on", "since", "why"), DOUBTED)
def test_a_measurement_is_in_doubt_from_the_day_that_it_was_found(done_on, on, since, why):
    found = doubts([calibrated("2025-05-01", "2026-05-01"), calibrated("2026-04-20", "2027-04-20", False)])
    assert in_doubt(found, day(done_on), day(on)) == (since and day(since)), why
