"""A campus of any size, as `manage.py demo --hoods --years` loads it: rounds by the same actions as any survey."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from django.core.management import CommandError, call_command

from config.demo import air, campus
from hoods.models import Hood, Site
from surveys import queries
from surveys.models import LabelPutOn, Record, Survey
from tests import pages

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 5, 20, 10, 30, tzinfo=UTC)


@pytest.fixture
def twelve():
    said: list[str] = []
    campus.build(hoods=12, years=3, now=NOW, say=said.append)
    return said


def test_each_hood_is_surveyed_once_a_year_and_again_after_a_failure(twelve):
    assert twelve[0] == "12 hoods in 2 rooms"
    for hood in Hood.objects.all():
        years = [survey for survey in hood.surveys.all() if survey.reason == "annual"]
        assert len(years) == 3
        for survey in hood.surveys.filter(label_issue=None):
            mended = hood.surveys.filter(reason="after-repair", done_on=survey.done_on + timedelta(days=3))
            assert mended.count() == 1
    told = sum(int(line.split(": ")[1].split()[0]) for line in twelve[1:])
    assert told == Survey.objects.count()


def test_its_records_are_whole_and_its_labels_are_on(twelve):
    numbers = list(Record.objects.order_by("number").values_list("number", flat=True))
    assert numbers == list(range(1, len(numbers) + 1))
    assert Record.objects.filter(kind="survey").count() == Survey.objects.count()
    assert LabelPutOn.objects.count() == Survey.objects.exclude(label_issue=None).count()
    found = queries.statuses(list(Hood.objects.select_related("site")), NOW.date()).values()
    assert {status.code for status in found} <= {"met-criteria", "restricted", "do-not-use"}
    assert not any(status.flag("overdue") for status in found)


def test_its_air_is_the_same_each_time_and_a_fan_drifts_until_it_is_set():
    years = [air.drifted("EF-001", "FH-00001", year) for year in range(10)]
    assert years == [air.drifted("EF-001", "FH-00001", year) for year in range(10)]
    assert any(later < now - 2 for now, later in pairwise(years))
    assert any(later > now + 5 for now, later in pairwise(years))


def test_the_command_loads_it_once_and_never_beside_another_site(settings, capsys):
    settings.DEMO = True
    call_command("demo", hoods=3, years=1)
    assert Hood.objects.count() == 3
    before = pages.everything()
    call_command("demo", hoods=3, years=1)
    assert "stays as it is" in capsys.readouterr().out
    assert pages.changed(before, pages.everything()) == []


@pytest.mark.parametrize("said", [["--hoods", "0"], ["--hoods", "many"], ["--hoods", "3", "--years", "-1"]])
def test_a_number_of_hoods_that_is_none_is_refused(settings, said):
    settings.DEMO = True
    with pytest.raises(CommandError):
        call_command("demo", *said)
    assert not Site.objects.exists()


def test_a_campus_has_no_prints_of_its_own(settings, tmp_path):
    settings.DEMO = True
    with pytest.raises(CommandError, match="no prints"):
        call_command("demo", hoods=3, out=tmp_path)
    assert not Site.objects.exists()


@pytest.mark.parametrize("option", ["--hoods", "--years"])
@pytest.mark.parametrize("text", ["0", "-1", "some", "1.5", ""])
def test_a_number_that_cannot_be_is_said_at_its_option(option, text):
    with pytest.raises(CommandError) as refused:
        call_command("demo", f"{option}={text}")
    said = f"Error: argument {option}: “{text}” cannot be: write a whole number from 1 on, such as 12."
    assert str(refused.value) == said
    assert not Site.objects.exists()
