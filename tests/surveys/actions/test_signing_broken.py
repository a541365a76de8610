"""Signing is all or nothing, and what cannot be judged is not signed."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import connection, transaction

from config import sealing
from hoods.models import Entry
from surveys.actions.drafts import start_draft
from surveys.actions.signing import (
    NotJudged,
    judged_now,
    sign_survey,
)
from surveys.models import (
    Approval,
    Benchmark,
    CriteriaVersion,
    Draft,
    Judgement,
    Reading,
    Record,
    Revision,
    Survey,
    Traverse,
)
from tests import surveying
from tests.breaking import broken_at_each_statement
from tests.surveying import SURVEYED, entered, with_lower
from tests.surveys.actions.moments import SIGNED

pytestmark = pytest.mark.django_db


# --- judging breaks off (G12) ---


def _damage(sql: str, *values: object) -> None:
    """Change a permanent row behind the program's back, as a broken disk or a hand at the database would."""
    sealing.lift()
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
    sealing.seal()


DAMAGES = {
    "a revision cut short": ("UPDATE surveys_revision SET content = substr(content, 1, 200)",),
    "a reading changed in a revision": ("UPDATE surveys_revision SET content = replace(content, '\"98\"', '\"99\"')",),
    "a limit of the version lowered": (
        "UPDATE surveys_criteriaversion SET content = replace(content, '80 ft/min', '8 ft/min')",
    ),
    "a limit without a unit": (
        "UPDATE surveys_criteriaversion SET content = replace(content, '80 ft/min', '80 furlong')",
    ),
    "a version emptied": ("UPDATE surveys_criteriaversion SET content = '{}'",),
    "a version that is no JSON": ("UPDATE surveys_criteriaversion SET content = 'gone'",),
    "the version's record changed": ("UPDATE surveys_record SET content = replace(content, '80 ft/min', '8 ft/min')",),
    "version and record changed alike": (
        "UPDATE surveys_criteriaversion SET content = replace(content, '80 ft/min', '8 ft/min')",
        "UPDATE surveys_record SET content = replace(content, '80 ft/min', '8 ft/min')",
    ),
    "the instrument's resolution in inches": ("UPDATE surveys_instrument SET resolution = '1 in'",),
    "a benchmark that is no speed": ("UPDATE surveys_benchmark SET value = 'fast'",),
}


@pytest.mark.parametrize("damage", DAMAGES)
def test_g12_what_cannot_be_judged_has_no_verdict_and_is_not_signed(draft, technician, instrument, caplog, damage):
    Benchmark.objects.create(
        opening=draft.hood.openings.get(), value="104 ft/min", from_on=date(2025, 6, 1), at=SURVEYED, by=technician
    )
    surveying.save(draft, entered(instrument), technician)
    assert judged_now(draft).verdict == "pass"  # the control: undamaged, the same draft is judged
    for statement in DAMAGES[damage]:
        _damage(statement)
    draft = Draft.objects.get()
    assert judged_now(draft) is None
    with pytest.raises(NotJudged, match="no verdict"):
        surveying.sign(draft, technician)
    assert not Survey.objects.exists()
    assert not Record.objects.filter(kind="survey").exists()
    assert any(record.levelname == "ERROR" and str(draft.pk) in record.getMessage() for record in caplog.records)


def test_g12_nothing_entered_has_no_verdict(draft):
    assert judged_now(draft) is None


# --- all or nothing (D6) ---


@pytest.mark.django_db(transaction=True)
def test_d6_whichever_statement_breaks_nothing_is_left_behind(
    ready_with_lower, technician, instrument, programme_manager, settings
):
    """Every statement of signing is made to break in turn; the last run, with none broken, is the control.

    Mails are sent after the commit, so their statements are none of it: no server is set up here.
    """
    settings.MAIL_IS_SET_UP = False
    from surveys.actions.stops import post_stop

    post_stop(hood=ready_with_lower, reason="no-flow", by=technician, at=SURVEYED - timedelta(days=2))
    draft = start_draft(hood=ready_with_lower, by=technician, at=SURVEYED)
    surveying.save(draft, with_lower(instrument), technician)
    seen, before = surveying.seen(draft), _counts()

    def sign() -> None:
        sign_survey(draft=draft, seen=seen, by=technician, at=SIGNED, stop_moved=True, sign_taken_down=True)

    assert broken_at_each_statement(sign, lambda: (_counts(), sealing.differences())) > 15
    assert sealing.differences() == []
    assert _counts() == {**before, "Survey": 1, "Traverse": 2, "Reading": 16, "Approval": 1, "StopChange": 1,
                         "Judgement": before["Judgement"] + 8, "Record": before["Record"] + 1,
                         "Entry": before["Entry"] + 2}  # fmt: skip


def _counts() -> dict[str, int]:
    from surveys.models import StopChange

    models = (Survey, Traverse, Reading, Judgement, Approval, StopChange, Record, Entry, Revision, CriteriaVersion)
    with transaction.atomic():
        return {model.__name__: model.objects.count() for model in models}
