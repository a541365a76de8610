"""Copies of labels are recorded; a label that is put on is the one that the survey gave."""

from __future__ import annotations

from datetime import timedelta

import pytest

from hoods.models import Entry
from surveys.actions.labels import NoLabel, NotToday, OtherLabel, label_put_on, record_label_copies
from surveys.actions.stops import post_stop, withdraw_stop
from surveys.models import LabelCopy, LabelPutOn
from tests import surveying
from tests.surveying import SURVEYED, entered

pytestmark = pytest.mark.django_db
LATER = SURVEYED + timedelta(hours=1)


@pytest.fixture
def survey(ready, technician, instrument):
    return surveying.survey(ready, entered(instrument), technician)


@pytest.fixture
def failed(make_hood, version, technician, programme_manager, instrument):
    hood = make_hood(tag="FH-0199")
    surveying.assign(hood, version, programme_manager)
    return surveying.survey(hood, entered(instrument, surveying.SLOW), technician)


def test_each_copy_is_recorded_and_takes_no_new_number(survey, technician):
    for _ in range(2):
        record_label_copies(surveys=[survey], sheet="100x50", by=technician, at=LATER)
    survey.refresh_from_db()
    assert LabelCopy.objects.filter(survey=survey).count() == 2
    assert survey.label_issue == 1
    assert Entry.objects.of(survey.hood).filter(action="label-printed").count() == 2


def test_no_copy_of_any_is_recorded_where_one_survey_gives_none(survey, failed, technician):
    with pytest.raises(NoLabel):
        record_label_copies(surveys=[survey, failed], sheet="a4-2x5", by=technician, at=LATER)
    assert not LabelCopy.objects.exists()


def test_the_label_put_on_bears_the_number_of_the_survey(survey, failed, technician):
    with pytest.raises(OtherLabel, match="has the number 1"):
        label_put_on(survey=survey, issue=2, old_removed=True, by=technician, at=LATER)
    with pytest.raises(NoLabel):
        label_put_on(survey=failed, issue=1, old_removed=True, by=technician, at=LATER)
    put_on = label_put_on(survey=survey, issue=1, old_removed=True, by=technician, at=LATER)
    assert label_put_on(survey=survey, issue=1, old_removed=True, by=technician, at=LATER) == put_on
    assert (LabelPutOn.objects.get().issue, put_on.old_removed) == (1, True)


def test_a_label_that_does_not_hold_today_is_never_put_on(survey, ready, technician, programme_manager, instrument):
    stop = post_stop(hood=ready, reason="no-flow", by=technician, at=LATER)
    with pytest.raises(NotToday, match="does not hold today"):
        label_put_on(survey=survey, issue=1, old_removed=True, by=technician, at=LATER)
    withdraw_stop(stop=stop, why="the wrong hood", by=programme_manager, at=LATER)
    label_put_on(survey=survey, issue=1, old_removed=True, by=technician, at=LATER)  # the control
    day_after = SURVEYED + timedelta(days=1)
    newer = surveying.survey(ready, entered(instrument), technician, at=day_after)
    with pytest.raises(NotToday):
        label_put_on(survey=survey, issue=1, old_removed=True, by=technician, at=day_after + timedelta(hours=1))
    label_put_on(survey=newer, issue=2, old_removed=True, by=technician, at=day_after + timedelta(hours=1))
    assert list(LabelPutOn.objects.order_by("pk").values_list("issue", flat=True)) == [1, 2]
