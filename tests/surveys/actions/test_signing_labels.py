"""What signing gives besides a record: label, due day, benchmarks."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from surveys.facts import facts_for
from surveys.models import (
    Benchmark,
)
from tests import surveying
from tests.surveying import GOOD, SLOW, SURVEYED, entered, with_lower

pytestmark = pytest.mark.django_db


# --- labels, due, earlier surveys ---


def test_each_granting_survey_gives_the_next_label_and_asks_whether_the_last_held(ready, technician, instrument):
    first = surveying.survey(ready, entered(instrument), technician)
    second = surveying.survey(ready, entered(instrument), technician, SURVEYED + timedelta(days=300))
    slow = surveying.survey(ready, entered(instrument, SLOW), technician, SURVEYED + timedelta(days=310))
    third = surveying.survey(ready, entered(instrument), technician, SURVEYED + timedelta(days=320))
    assert [survey.label_issue for survey in (first, second, slow, third)] == [1, 2, None, 3]
    assert [survey.held for survey in (first, second, slow, third)] == ["no-label", "held", "not-held", "no-label"]
    assert second.record.attested["facts"]["labelled"] == ["working"]


@pytest.mark.parametrize(("moved", "issue"), [(True, 1), (False, None), (None, None)])
def test_a_lower_height_gives_a_label_only_with_stop_and_mark_moved(
    ready_with_lower, technician, instrument, moved, issue
):
    survey = surveying.survey(ready_with_lower, with_lower(instrument), technician, stop_moved=moved)
    assert (survey.verdict, survey.restriction) == ("restrict", {"largest_opening": "12 in"})
    assert survey.label_issue == issue
    assert survey.record.attested["signed"]["confirmed"]["stop_and_mark_moved"] is bool(moved)


@pytest.mark.parametrize(("entry", "issue"), [(True, 1), ("12 in", 1), ("18 in", None), (False, None), ("", None)])
def test_stop_and_mark_moved_may_be_entered_before(ready_with_lower, technician, instrument, entry, issue):
    content = with_lower(instrument, stop_and_mark_moved=entry)
    assert surveying.survey(ready_with_lower, content, technician).label_issue == issue


def test_a_restriction_of_use_needs_no_moved_stop(ready, technician, instrument):
    low_point = [["69", *GOOD[0][1:]], GOOD[1]]
    asked = {"code": "reading-off-the-rest", "path": "traverses.0.readings.0.0", "value": "69", "answer": "stays"}
    survey = surveying.survey(ready, entered(instrument, low_point, questions=[asked]), technician)
    assert (survey.restriction, survey.label_issue) == ({"use": "not for highly toxic materials"}, 1)


def test_due_is_counted_from_full_surveys_alone(ready, technician, instrument):
    surveying.survey(ready, entered(instrument), technician)
    partial = entered(instrument, reason="complaint")
    partial["answers"] = partial["answers"][:2]  # the light, a note, was not looked at
    later = surveying.survey(ready, partial, technician, SURVEYED + timedelta(days=100))
    assert (later.verdict, later.full, later.due_on) == ("pass", False, date(2027, 3, 12))


def test_benchmarks_valid_on_the_day_are_facts(draft, technician, instrument):
    opening = draft.hood.openings.get()
    for value, from_on in (
        ("90 ft/min", date(2025, 1, 1)),
        ("104 ft/min", date(2026, 3, 12)),
        ("50 ft/min", date(2026, 3, 13)),
    ):
        Benchmark.objects.create(opening=opening, value=value, from_on=from_on, at=SURVEYED, by=technician)
    surveying.save(draft, entered(instrument), technician)
    assert str(facts_for(draft).benchmarks["working"]) == "104 ft/min"
