"""The moments of a signed survey: corrected by the clock of the device, in the year of the site."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from surveys.actions.signing import (
    NotReady,
)
from surveys.models import (
    Reading,
)
from tests import surveying
from tests.surveying import GOOD, SURVEYED, entered
from tests.surveys.actions.moments import at_minute

pytestmark = pytest.mark.django_db


# --- moments ---


def _timed(minutes: list[int]) -> list[list[dict[str, str]]]:
    values = [value for row in GOOD for value in row]
    return surveying.grid([{"value": v, "at": at_minute(m)} for v, m in zip(values, minutes, strict=True)])


def test_measuring_ends_with_the_last_reading_of_the_device_corrected_by_its_clock(draft, technician, instrument):
    early, whole = _timed(list(range(2, 12))), _timed(list(range(2, 12)))
    early[1] = [None] * 5
    slow_by = timedelta(seconds=10)
    surveying.save(draft, entered(instrument, early), technician, SURVEYED + timedelta(minutes=7), form_id="f",
                   device_at=SURVEYED + timedelta(minutes=7) - slow_by)  # fmt: skip
    surveying.save(draft, entered(instrument, whole), technician, SURVEYED + timedelta(minutes=14), form_id="f",
                   device_at=SURVEYED + timedelta(minutes=14) + timedelta(seconds=50))  # fmt: skip
    survey = surveying.sign(draft, technician)
    assert survey.measured_from == SURVEYED + timedelta(minutes=2, seconds=10)  # by the first save's offset
    assert survey.measured_until == SURVEYED + timedelta(minutes=10, seconds=10)  # by the second's: the clock was set
    assert Reading.objects.order_by("pk").first().at == SURVEYED + timedelta(minutes=2, seconds=10)


@pytest.mark.parametrize("minutes", [60, 60 * 24 * 365, -30])
def test_t7_readings_from_the_future_or_before_the_survey_are_not_signed(draft, technician, instrument, minutes):
    readings = _timed([2] * 9 + [minutes])
    surveying.save(draft, entered(instrument, readings), technician, SURVEYED + timedelta(minutes=15))
    with pytest.raises(NotReady) as refused:
        surveying.sign(draft, technician)
    (problem,) = refused.value.problems
    assert (problem.path, problem.message.code) == ("traverses.0.readings.1.4", "moment-outside")


def test_t1_signed_in_the_last_half_hour_of_the_year_it_belongs_to_that_year(ready, technician, instrument):
    ready.site.time_zone = "America/New_York"
    ready.site.save()
    started = datetime(2027, 1, 1, 4, 20, tzinfo=UTC)  # 31 December, 23:20 there
    survey = surveying.survey(ready, entered(instrument), technician, started)
    assert survey.signed_at.year == 2027
    assert survey.done_on == date(2026, 12, 31)
    assert survey.record.attested["survey"]["done_on"] == "2026-12-31"
    assert survey.due_on == date(2027, 12, 31)
