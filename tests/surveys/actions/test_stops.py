"""A posted 'do not use': posted by one reason, confirmed, lifted by a signed survey, withdrawn as mistaken."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from hoods.actions.refusal import Refused
from hoods.models import Entry
from surveys import queries
from surveys.actions.stops import (
    LiftsNothing,
    NoReason,
    NotTheSurveyor,
    NoWhy,
    StopOver,
    post_stop,
    sign_hung,
    take_sign_down,
    withdraw_stop,
)
from surveys.core.codes import REASONS_THAT_STOP_A_HOOD
from surveys.models import Stop, StopChange
from surveys.templatetags.log import entry_about
from tests import surveying
from tests.surveying import SURVEYED, entered

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("reason", sorted(REASONS_THAT_STOP_A_HOOD))
def test_one_reason_is_enough_and_the_hood_must_not_be_used(hood, technician, reason):
    stop = post_stop(hood=hood, reason=reason, by=technician, at=SURVEYED)
    assert Stop.objects.up().get() == stop
    assert queries.status_of(hood, hood.site.day_of(SURVEYED)).code == "do-not-use"
    entry = Entry.objects.of(hood).get(action="stop-posted")
    assert entry.after == {"stop": stop.pk, "reason": reason}


def test_an_unknown_reason_is_refused(hood, technician):
    with pytest.raises(NoReason, match="choose a reason"):
        post_stop(hood=hood, reason="called-away", by=technician, at=SURVEYED)
    assert not Stop.objects.exists()


def test_a_double_press_posts_one_stop_and_a_later_press_another(hood, technician, lab_manager):
    first = post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    assert post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED + timedelta(seconds=3)) == first
    post_stop(hood=hood, reason="no-flow", by=lab_manager, at=SURVEYED + timedelta(seconds=3))
    post_stop(hood=hood, reason="glass-broken", by=technician, at=SURVEYED + timedelta(seconds=3))
    post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED + timedelta(minutes=5))
    assert Stop.objects.count() == 4


def test_its_sign_is_confirmed_once(hood, technician):
    stop = post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    assert sign_hung(stop=stop, by=technician, at=SURVEYED) == sign_hung(stop=stop, by=technician, at=SURVEYED)
    assert Stop.objects.up().get() == stop


def test_a_mistaken_one_is_withdrawn_with_a_reason_and_stays_readable(hood, technician, programme_manager):
    stop = post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    with pytest.raises(NoWhy):
        withdraw_stop(stop=stop, why="  ", by=programme_manager, at=SURVEYED)
    withdraw_stop(stop=stop, why="posted on the wrong hood", by=programme_manager, at=SURVEYED)
    assert not Stop.objects.up().exists()
    assert Stop.objects.get() == stop
    assert Entry.objects.of(hood).first().why == "posted on the wrong hood"
    with pytest.raises(StopOver):
        sign_hung(stop=stop, by=technician, at=SURVEYED)


def _stop_then_survey(hood, technician, content, *, posted, taken_down):
    stop = post_stop(hood=hood, reason="no-flow", by=technician, at=posted)
    survey = surveying.survey(hood, content, technician, sign_taken_down=taken_down)
    return stop, survey


def test_a_signed_survey_that_passes_lifts_it_when_its_sign_was_taken_down(ready, technician, instrument):
    stop, survey = _stop_then_survey(
        ready, technician, entered(instrument), posted=SURVEYED - timedelta(days=1), taken_down=True
    )
    change = StopChange.objects.get()
    assert (change.stop, change.kind, change.survey, change.by) == (stop, "lifted", survey, technician)
    assert queries.status_of(ready, survey.done_on).code == "met-criteria"
    assert survey.record.attested["signed"]["confirmed"]["sign_taken_down"] is True


def test_the_log_of_the_hood_tells_of_its_surveys_too(ready, technician, instrument):
    survey = surveying.survey(ready, entered(instrument), technician)
    told = {entry.action: entry for entry in Entry.objects.of_hood(ready, ready.drafts.values_list("pk", flat=True))}
    assert {"survey-started", "survey-signed"} <= set(told)
    assert f"record {survey.record_id}, pass" in entry_about(told["survey-signed"])
    assert "survey-signed" not in {entry.action for entry in Entry.objects.of(ready)}, "it is an entry of the survey"


def test_without_the_tick_it_stays_up(ready, technician, instrument):
    _stop, survey = _stop_then_survey(
        ready, technician, entered(instrument), posted=SURVEYED - timedelta(days=1), taken_down=False
    )
    assert Stop.objects.up().exists()
    assert queries.status_of(ready, survey.done_on).code == "do-not-use"


def test_the_surveyor_confirms_later_that_the_sign_is_taken_down(ready, technician, instrument, lab_manager):
    stop, survey = _stop_then_survey(
        ready, technician, entered(instrument), posted=SURVEYED - timedelta(days=1), taken_down=False
    )
    later = SURVEYED + timedelta(hours=2)
    with pytest.raises(NotTheSurveyor):
        take_sign_down(survey=survey, by=lab_manager, at=later)
    (change,) = take_sign_down(survey=survey, by=technician, at=later)
    assert (change.stop, change.kind, change.survey, change.at) == (stop, "lifted", survey, later)
    assert queries.status_of(ready, survey.done_on).code == "met-criteria"
    assert take_sign_down(survey=survey, by=technician, at=later) == [], "said again, nothing is left to lift"
    assert Entry.objects.of(ready).filter(action="stop-lifted").count() == 1


def test_a_sign_taken_down_lifts_nothing_after_a_failure_or_by_an_older_survey(ready, technician, instrument):
    post_stop(hood=ready, reason="no-flow", by=technician, at=SURVEYED - timedelta(days=1))
    passed = surveying.survey(ready, entered(instrument), technician)
    day_after = SURVEYED + timedelta(days=1)
    failed = surveying.survey(ready, entered(instrument, surveying.SLOW), technician, at=day_after)
    for survey in (passed, failed):
        with pytest.raises(LiftsNothing):
            take_sign_down(survey=survey, by=technician, at=day_after + timedelta(hours=2))
    assert Stop.objects.up().exists()


def test_one_posted_after_measuring_began_stays_up(ready, technician, instrument):
    _stop_then_survey(ready, technician, entered(instrument), posted=SURVEYED + timedelta(minutes=2), taken_down=True)
    assert Stop.objects.up().exists()


@pytest.mark.parametrize(
    "readings", [surveying.SLOW, [["98", None, "95", "97", "100"], ["103", "99", "103", "98", "102"]]]
)
def test_a_survey_that_grants_nothing_lifts_nothing(ready, technician, instrument, readings):
    _stop, survey = _stop_then_survey(
        ready, technician, entered(instrument, readings), posted=SURVEYED - timedelta(days=1), taken_down=True
    )
    assert survey.verdict in ("fail", "no-verdict")
    assert Stop.objects.up().exists()
    assert survey.record.attested["signed"]["confirmed"]["sign_taken_down"] is False


def test_a_lifted_stop_cannot_be_withdrawn_and_a_withdrawn_one_not_lifted(
    ready, technician, instrument, programme_manager
):
    stop, _survey = _stop_then_survey(
        ready, technician, entered(instrument), posted=SURVEYED - timedelta(days=1), taken_down=True
    )
    with pytest.raises(StopOver):
        withdraw_stop(stop=stop, why="mistaken", by=programme_manager, at=SURVEYED + timedelta(days=1))


def test_the_database_refuses_a_lift_without_a_survey(hood, technician):
    stop = post_stop(hood=hood, reason="no-flow", by=technician, at=SURVEYED)
    with pytest.raises(IntegrityError), transaction.atomic():
        StopChange.objects.create(stop=stop, kind="lifted", at=SURVEYED, by=technician)


def test_refusals_are_sentences():
    assert issubclass(StopOver, Refused)
    assert str(StopOver()).endswith(".")
