"""G3, G5, M1: permanent rows are refused any change by the database itself, on either engine, however it is asked."""

from __future__ import annotations

import pytest
from django.apps import apps

from config import sealing
from hoods.models import Entry, FormerName, Hood
from surveys import models as surveys
from tests.config.sealed import MODELS, PARTS, WAYS, add_parts, adopted, by_truncate, last, refused, without_seals
from tests.making import AT, ON


@pytest.fixture
def signed(hood: Hood, technician) -> surveys.Survey:
    """A signed survey and a row in every sealed table, made in the order in which signing makes them."""
    by, opening = technician, hood.openings.get()
    Entry.objects.add(by=by, at=AT, action="made", what=hood)
    FormerName.objects.create(site=hood.site, hood=hood, kind="tag", text="H-9", until_at=AT)
    its_set = surveys.CriteriaSet.objects.create(site=hood.site, name="Legal")
    surveys.Assignment.objects.create(hood=hood, set=its_set, from_on=ON, at=AT, by=by)
    surveys.Benchmark.objects.create(opening=opening, value="104 ft/min", from_on=ON, at=AT, by=by)
    version = adopted(surveys.CriteriaVersion.objects.create(set=its_set, number=1, content="{}"), by, number=1)
    instrument = surveys.Instrument.objects.create(site=hood.site, name="A-07", serial="7")
    calibration = surveys.Calibration.objects.create(instrument=instrument, done_on=ON, due_on=ON, at=AT, by=by)
    draft = surveys.Draft.objects.create(hood=hood, version=version, done_on=ON, started_at=AT, started_by=by)
    saved = {"draft": draft, "content": "{}", "sha256": "0" * 64, "form_id": "f", "made_from": 0, "at": AT, "by": by}
    surveys.Revision.objects.create(number=1, **saved)
    surveys.SetAside.objects.create(**saved)
    survey = surveys.Survey.objects.create(
        draft=draft, hood=hood, version=version, instrument=instrument, calibration=calibration, reason="annual",
        done_on=ON, measured_from=AT, measured_until=AT, verdict="pass", as_found="pass", held="no-label", full=True,
        signed_at=AT, signed_by=by, record_id=2,
    )  # fmt: skip
    add_parts(survey)
    surveys.Record.objects.create(number=2, kind="survey", format=1, content="{}", sha256="0" * 64, at=AT)
    surveys.LabelCopy.objects.create(survey=survey, sheet="100x50", at=AT, by=by)
    surveys.LabelPutOn.objects.create(survey=survey, issue=1, old_removed=True, at=AT, by=by)
    stop = surveys.Stop.objects.create(hood=hood, reason="no-flow", at=AT, by=by)
    surveys.StopChange.objects.create(stop=stop, kind="hung", at=AT, by=by)
    finding = surveys.Finding.objects.create(
        hood=hood, survey=survey, kind="note", check_code="light-works", at=AT, by=by
    )
    surveys.FindingChange.objects.create(finding=finding, kind="arranged", owner="electrician", at=AT, by=by)
    notice = surveys.Notice.objects.create(
        site=hood.site, to=by, address=by.email, kind="stop-posted", hood=hood, stop=stop, at=AT, by=by
    )
    surveys.NoticeTry.objects.create(notice=notice, sent=True, at=AT)
    surveys.NoticeHood.objects.create(notice=notice, hood=hood)
    surveys.Qualification.objects.create(
        person=by, site=hood.site, method="traverse", qualified_by="safety office", from_on=ON, at=AT, by=by
    )
    surveys.Transcription.objects.create(draft=survey.draft, measured_by="Lena Orth", at=AT, by=by)
    batch = surveys.EarlierBatch.objects.create(site=hood.site, name="old.csv", sha256="0" * 64, at=AT, by=by)
    result = surveys.EarlierResult.objects.create(batch=batch, row=2, hood=hood, measured_on=ON, verdict="pass")
    surveys.EarlierOpening.objects.create(
        result=result, opening=opening, opening_name="working", height="18 in", average="98 ft/min", approves=True
    )
    change = surveys.EarlierChange.objects.create(batch=batch, kind="accepted", why="agreed", at=AT, by=by)
    surveys.EarlierCounted.objects.create(change=change, result=result, version=version)
    return survey


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.__name__)
@pytest.mark.parametrize("model", MODELS)
def test_g3_a_permanent_row_is_never_changed_or_removed(signed, model: str, way):
    row = last(model)
    assert refused(lambda: way(row))


@pytest.mark.parametrize("way", [way for way in WAYS if way is not by_truncate], ids=lambda way: way.__name__)
@pytest.mark.parametrize("model", MODELS)
def test_g3_control_without_its_seal_the_same_row_is_changed(signed, model: str, way):
    row = last(model)
    with without_seals():
        assert not refused(lambda: way(row))


@pytest.mark.parametrize("part", PARTS)
def test_g3_nothing_is_added_to_a_survey_that_has_its_record(signed, part: str):
    assert refused(lambda: PARTS[part](signed))
    with without_seals():
        assert not refused(lambda: PARTS[part](signed))


def test_g3_no_survey_is_put_under_a_record_that_is_there(signed):
    twin = surveys.Survey.objects.get(pk=signed.pk)
    surveys.Record.objects.create(number=3, kind="survey", format=1, content="{}", sha256="", at=AT)
    twin.record_id, twin.pk = 3, new_draft(signed).pk
    assert refused(lambda: twin.save(force_insert=True))
    with without_seals():
        assert not refused(lambda: twin.save(force_insert=True))


def new_draft(survey: surveys.Survey) -> surveys.Draft:
    first = survey.draft
    return surveys.Draft.objects.create(
        hood=first.hood, version=first.version, done_on=ON, started_at=AT, started_by=first.started_by
    )


@pytest.mark.parametrize(("number", "is_refused"), [(1, True), (2, True), (3, False), (4, True), (-1, True)])
def test_g3_a_record_takes_the_last_number_plus_one(signed, number: int, is_refused: bool):
    def append():
        surveys.Record.objects.create(number=number, kind="survey", format=1, content="{}", sha256="", at=AT)

    assert refused(append) is is_refused


def test_g3_control_without_its_seal_a_number_is_left_out(signed):
    with without_seals():
        assert not refused(
            lambda: surveys.Record.objects.create(number=4, kind="survey", format=1, content="", sha256="", at=AT)
        )


def test_m1_a_criteria_version_is_free_until_adopted_and_never_after(signed, technician):
    version = surveys.CriteriaVersion.objects.create(set=signed.version.set, number=2, content="{}")
    rows = surveys.CriteriaVersion.objects.filter(pk=version.pk)
    assert not refused(lambda: rows.update(content='{"compare": "as-measured"}'))
    assert not refused(lambda: rows._raw_delete(rows.db))
    adopted(version, technician, number=3)
    assert refused(lambda: rows.update(content='{"compare": "as-measured"}'))
    assert refused(lambda: rows.update(adopted_at=None))
    assert refused(lambda: rows._raw_delete(rows.db))
    with without_seals():
        assert not refused(lambda: rows.update(content='{"compare": "as-measured"}'))


def test_every_table_that_only_grows_is_sealed():
    """A table with a moment and a person, and no end, is a log: it is sealed, or it is named here with its reason."""
    free = {
        "hoods.Role": "ends by its last day, which is written later",
        "surveys.Draft": "what it holds are its revisions",
    }
    rows = [model for app in ("hoods", "surveys") for model in apps.get_app_config(app).get_models()]
    logs = {model._meta.label for model in rows if {"at", "by_id"} <= {field.attname for field in model._meta.fields}}
    assert logs - set(free) <= set(MODELS)


# G5: the triggers are there, and stay


def test_g5_the_triggers_are_there_as_written(db):
    assert sealing.differences() == []
    wanted = {trigger.name for seal in sealing.SEALS for trigger in sealing.triggers(seal)}
    assert len(wanted) > 2 * len(sealing.SEALS)
