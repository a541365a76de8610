"""A signed survey stays as it was signed: no later act of the program, and no half of a signature, changes it."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction

from hoods.actions import hood as hoods
from surveys.actions.criteria import adopt_version, start_version
from surveys.actions.drafts import Conflict, SignedAlready, end_draft, start_draft
from surveys.actions.instrument import change_instrument, record_calibration
from surveys.actions.labels import label_put_on, record_label_copies
from surveys.actions.moments import Measured
from surveys.actions.rows import Part, keep_parts
from surveys.actions.stops import post_stop
from surveys.core.criteria import Criteria
from surveys.core.document import Facts, parse
from surveys.core.judging import judge
from surveys.core.record import canonical, sha256_hex
from surveys.facts import around
from surveys.models import Approval, Judgement, Reading, Record, Survey, Traverse
from tests import surveying
from tests.surveying import SLOW, SURVEYED, entered

pytestmark = pytest.mark.django_db
LATER = SURVEYED + timedelta(days=30)
KEPT = (Record, Survey, Traverse, Reading, Judgement, Approval)


@pytest.fixture
def version(site, programme_manager):
    return surveying.make_version(site, programme_manager)


@pytest.fixture
def instrument(site, programme_manager):
    return surveying.make_instrument(site, programme_manager)


@pytest.fixture
def ready(hood, version, programme_manager):
    surveying.assign(hood, version, programme_manager)
    return hood


@pytest.fixture
def signed(ready, technician, instrument) -> Survey:
    return surveying.survey(ready, entered(instrument), technician)


def everything(survey: Survey) -> dict[str, list[tuple]]:
    """Every value of every row of a signed survey, its record included."""
    rows = {
        Record: Record.objects.filter(pk=survey.record_id), Survey: Survey.objects.filter(pk=survey.pk),
        Traverse: survey.traverses.all(), Reading: Reading.objects.filter(traverse__survey=survey),
        Judgement: survey.judgements.all(), Approval: survey.approvals.all(),
    }  # fmt: skip
    return {model.__name__: list(found.order_by("pk").values_list()) for model, found in rows.items()}


def test_nothing_that_happens_later_touches_a_signed_survey(
    signed, ready, technician, programme_manager, instrument, version, other_room
):
    before = everything(signed)
    label_put_on(survey=signed, issue=1, old_removed=True, by=technician, at=SURVEYED + timedelta(hours=1))
    record_label_copies(surveys=[signed], sheet="100x50", by=technician, at=SURVEYED + timedelta(hours=1))
    post_stop(hood=ready, reason="no-flow", by=technician, at=LATER)
    change_instrument(instrument=instrument, by=programme_manager, at=LATER, serial="corrected", resolution="0.01 m/s")
    record_calibration(
        instrument=instrument, certificate="C-later", done_on=LATER.date(), due_on=date(2027, 4, 10),
        in_tolerance=False, by=programme_manager, at=LATER,
    )  # fmt: skip
    hoods.change_hood(hood=ready, by=programme_manager, at=LATER, tag="FH-9999", kind="perchloric-acid")
    hoods.move_hood(hood=ready, room=other_room, on=LATER.date(), by=programme_manager, at=LATER, why="moved")
    new = start_version(set=version.set, by=programme_manager, at=LATER)
    adopt_version(version=new, first_day=LATER.date(), reason="stricter", by=programme_manager, at=LATER)
    technician.name, technician.initials = "Ruth Okafor-Lind", "RL"
    technician.save()
    surveying.survey(
        ready, entered(instrument, SLOW), technician, LATER + timedelta(days=1), amends=signed, why="wrong"
    )
    assert everything(signed) == before
    attested = Record.objects.get(pk=signed.record_id).attested
    assert attested["facts"]["hood"]["tag"] == "FH-0142"
    assert attested["signed"]["by"]["name"] == "Ruth Okafor"


def test_g2_a_signed_survey_takes_no_save_and_no_end(signed, technician, instrument):
    before = everything(signed)
    with pytest.raises(Conflict):
        surveying.save(signed.draft, entered(instrument, SLOW), technician, LATER)
    with pytest.raises(SignedAlready):
        end_draft(draft=signed.draft, reason="no-flow", by=technician, at=LATER)
    assert everything(signed) == before


def test_g3_nothing_is_added_to_a_signed_survey(signed):
    attested = signed.record.attested
    document = parse(attested["entered"])
    moments = Measured(signed.measured_from, signed.measured_until, {}, ())
    with pytest.raises(IntegrityError), transaction.atomic():
        keep_parts(
            [Part(signed, attested["entered"], attested["judged"], around(signed.draft, document), moments)]
        )


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("has_record", [False, True], ids=["no record", "control: with its record"])
def test_g3_no_survey_is_kept_without_its_record(ready, technician, version, has_record):
    draft = start_draft(hood=ready, by=technician, at=SURVEYED)
    number = Record.objects.count() + 1

    def keep() -> None:
        with transaction.atomic():
            Survey.objects.create(
                draft=draft, hood=ready, version=version, reason="annual", done_on=draft.done_on,
                measured_from=SURVEYED, measured_until=SURVEYED, verdict="pass", as_found="pass", held="no-label",
                full=True, signed_at=SURVEYED, signed_by=technician, record_id=number,
            )  # fmt: skip
            if has_record:
                Record.objects.create(number=number, kind="survey", format=1, content="{}", sha256="0", at=SURVEYED)

    if has_record:
        keep()
    else:
        with pytest.raises(IntegrityError):
            keep()
    assert Survey.objects.exists() is has_record


def test_a_record_judges_again_to_the_same_for_ever(signed):
    """All that judging took is in the record: entered, facts and criteria give the judgement that was signed."""
    attested = signed.record.attested
    judged = judge(
        parse(attested["entered"]),
        Facts.from_dict(attested["facts"]),
        Criteria.from_dict(attested["criteria"]["document"]),
    )
    assert judged.as_dict() == attested["judged"]
    assert sha256_hex(canonical(attested)) == signed.record.sha256


def test_records_of_surveys_and_criteria_share_one_numbering(
    signed, ready, technician, instrument, version, programme_manager
):
    new = start_version(set=version.set, by=programme_manager, at=LATER)
    adopt_version(version=new, first_day=LATER.date(), reason="again", by=programme_manager, at=LATER)
    surveying.survey(ready, entered(instrument), technician, LATER)
    kinds = list(Record.objects.order_by("number").values_list("number", "kind"))
    assert kinds == [(1, "criteria"), (2, "survey"), (3, "criteria"), (4, "survey")]
    assert all(record.attested["number"] == record.number for record in Record.objects.all())
