"""Laws of figures, and figures beside fractions that were worked otherwise."""

from __future__ import annotations

import random
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.surveys.core.surveyed import MET, NOT_MET, criteria_dict, judged, limit, opening, read, survey_dict

# --- E8: exact, whatever the numbers ----------------------------------------------------------------------------------


def test_e8_three_times_0_4_against_0_40_is_met():
    survey = survey_dict(read("working", "0.4", "0.4", "0.4", unit="m/s"), openings=[opening() | {"width": "36 in"}])
    assert judged(survey, criteria_dict(limit("average", "0.40 m/s"))).verdict == "pass"
    assert sum([0.4, 0.4, 0.4]) / 3 != 0.4  # the control: floats miss it


def test_e8_a_thousand_random_sets_are_judged_as_fractions_say():
    """The mean is put exactly on the limit, one digit under and one over; units are mixed."""
    chance, missed_by_floats = random.Random(8), 0
    for _ in range(1000):
        number, places = chance.randint(2, 12), chance.randint(0, 3)
        unit = chance.choice(["ft/min", "m/s"])
        digits = [chance.randint(30, 150) * 10**places + chance.randrange(10**places) for _ in range(number)]
        digits[-1] += -sum(digits) % number  # so that the mean is written with as many digits as the readings
        texts = [_written(value, places) for value in digits]
        mean = Fraction(sum(digits), number * 10**places)
        step = Fraction(1, 10**places)
        openings = [opening() | {"width": f"{12 * number} in"}]
        survey = survey_dict(read("working", *texts, unit=unit), openings=openings)
        for bound in (mean - step, mean, mean + step):
            if bound <= 0:
                continue
            text = _written(int(bound * 10**places), places)
            for least, most, met in ((text, None, mean >= bound), (None, text, mean <= bound)):
                bounds = [f"{side} {unit}" if side else None for side in (least, most)]
                found = judged(survey, criteria_dict(limit("average", *bounds)))
                assert found.as_found.openings[0].judgements[0].outcome == (MET if met else NOT_MET)
                floats = sum(float(value) for value in texts) / number
                missed_by_floats += (floats >= float(bound) if least else floats <= float(bound)) != met
    assert missed_by_floats > 20  # the control: the same sets in floats are misjudged


def _written(digits: int, places: int) -> str:
    return f"{digits // 10**places}.{digits % 10**places:0{places}d}" if places else str(digits)


# --- E13: the unit does not matter ------------------------------------------------------------------------------------

SOME_LIMITS = (
    limit("average", "80 ft/min", "120 ft/min"),
    limit("lowest", "0.35 m/s"),
    limit("spread", None, "0.1 m/s"),
    limit("deviation-percent", None, "20 %"),
    limit("standard-deviation", None, "0.05 m/s"),
    limit("coefficient-of-variation", None, "10 %", consequence="restrict"),
    limit("flow", "150 ft**3/min"),
)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.integers(50, 150), min_size=2, max_size=2), st.sampled_from(["as-measured", "rounded"]))
def test_e13_a_velocity_is_judged_alike_in_either_unit(values, compare):
    """x ft/min is x * 0.00508 m/s exactly, so five decimals write it down."""
    imperial = [str(value) for value in values]
    metric = [_written(value * 508, 5) for value in values]
    criteria = criteria_dict(*SOME_LIMITS, compare=compare)
    one = judged(survey_dict(read("working", *imperial)), criteria)
    other = judged(survey_dict(read("working", *metric, unit="m/s")), criteria)
    assert (one.verdict, one.restriction) == (other.verdict, other.restriction)
    for left, right in zip(one.as_found.openings[0].judgements, other.as_found.openings[0].judgements, strict=True):
        assert left.outcome == right.outcome
        assert left.value == right.value  # in the unit of the limit both are the same fraction


@given(st.lists(st.integers(50, 150), min_size=2, max_size=2), st.integers(40, 160))
def test_e13_law_what_a_monitor_shows_is_compared_alike_in_either_unit(values, shown):
    """Readings and monitor each in either unit: the error in percent is one and the same, and exact."""
    criteria = criteria_dict(limit("monitor-error-percent", "-10 %", "10 %"))
    error = 100 * (shown - Fraction(sum(values), 2)) / Fraction(sum(values), 2)
    for unit, texts in (("ft/min", map(str, values)), ("m/s", (_written(value * 508, 5) for value in values))):
        written = list(texts)
        for monitor in (f"{shown} ft/min", f"{_written(shown * 508, 5)} m/s"):
            made = judged(survey_dict(read("working", *written, unit=unit, monitor=monitor)), criteria)
            (judgement,) = made.as_found.openings[0].judgements
            assert judgement.value.value == error
            assert judgement.outcome == (MET if -10 <= error <= 10 else NOT_MET)


# --- M6 ---------------------------------------------------------------------------------------------------------------

READINGS = st.lists(st.integers(400, 1600), min_size=4, max_size=4)


def four(values):
    texts = [_written(value, 1) for value in values]
    return survey_dict(read("working", *texts), openings=[opening() | {"width": "48 in"}])


@settings(max_examples=200, deadline=None)
@given(READINGS, st.integers(0, 3), st.integers(1, 500), st.sampled_from(["as-measured", "rounded"]))
def test_m6_raising_a_reading_never_turns_a_met_average_to_not_met(values, place, by, compare):
    criteria = criteria_dict(limit("average", "80 ft/min"), limit("lowest", "60.0 ft/min"), compare=compare)
    raised = [value + by * (index == place) for index, value in enumerate(values)]
    before = [j.outcome for j in judged(four(values), criteria).as_found.openings[0].judgements]
    after = [j.outcome for j in judged(four(raised), criteria).as_found.openings[0].judgements]
    assert all(not (was == MET and now == NOT_MET) for was, now in zip(before, after, strict=True))


@settings(max_examples=100, deadline=None)
@given(READINGS, st.randoms(use_true_random=False))
def test_m6_the_order_of_points_does_not_matter(values, chance):
    criteria = criteria_dict(*SOME_LIMITS)
    other = values[:]
    chance.shuffle(other)
    one, two = (judged(four(given), criteria).as_dict() for given in (values, other))
    assert one == two
