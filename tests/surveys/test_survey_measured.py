"""Plain figures of a hood: light, noise and the pressure of a filter, asked on its page, signed, printed and told."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from surveys.models import Judgement
from tests.surveys.beside import beginner, on_hood, part, printed, words_of
from tests.surveys.words import said

pytestmark = pytest.mark.django_db


@pytest.fixture
def begin(room, site, technician, programme_manager, signed_in):
    return beginner(room, site, technician, programme_manager, signed_in)


def test_light_and_noise_may_be_written_down_though_nothing_asks_for_them(begin):
    surveyor = begin()
    checks = part(surveyor.page, "checks")
    assert 'name="mn-light_unit" value="lx"' in checks
    assert 'name="mf-noise_unit" value="dBA"' in checks
    assert "filter-pressure" not in checks, "this hood has no filter"
    assert not re.search(r'id="m[nf]-[a-z]+"[^>]*data-needed', checks)
    surveyor.fill(t0f_monitor="99", **{"mn-light": "420", "mf-noise": "58.5"})
    surveyor.press("keep")
    assert "Everything is answered." in surveyor.page
    surveyor.sign()
    for page in (surveyor.review, surveyor.open()):
        assert "Noise in front of the hood 58.5 dBA" in words_of(page)
        assert "Light on the work surface 420 lx" in words_of(page)
    assert surveyor.content()["of_hood"] == [
        {"figure": "noise", "state": "as-found", "value": "58.5 dBA"}, {"figure": "light", "state": None, "value": "420 lx"},
    ]  # fmt: skip
    assert "noise in front of the hood 58.5 dBA; light on the work surface 420 lx" in printed(surveyor)


def test_a_limit_on_light_is_asked_for_and_costs_what_the_criteria_say(begin):
    surveyor = begin(limits=[on_hood("light", "400 lx", None, "restrict")])
    assert 'data-needed="light on the work surface"' in part(surveyor.page, "checks")
    assert "Light on the work surface: not measured." in surveyor.page
    surveyor.fill(t0f_monitor="99", **{"mn-light": "399"})
    surveyor.press("keep")
    assert "Provisional: restricted, attended work only" in surveyor.page
    assert "Light on the work surface 399 lx, at least 400 lx: not met (restrict)." in surveyor.page
    surveyor.sign()
    assert surveyor.survey.restriction == {"use": "attended work only"}
    assert Judgement.objects.get(figure="light").outcome == "not-met"
    certificate = printed(surveyor)
    assert "The hood" in certificate
    assert "at least 400 lx" in certificate
    public = said(surveyor.client.get(reverse("public_hood", args=[surveyor.draft.hood.code])))
    assert "attended work only" in public.lower()


def test_a_filtered_hood_is_asked_for_the_pressure_of_its_filter_in_the_unit_of_its_limit(begin):
    surveyor = begin(
        {"kind": "filtered", "monitor": "none"}, [on_hood("filter-pressure", None, "250 Pa")], filled=False
    )
    assert surveyor.form.boxes["mf-filter-pressure_unit"] == "Pa"
    units = re.findall(r'<option value="([^"]*)"', part(surveyor.page, "checks").partition("mf-filter-pressure_unit")[2].partition("</select>")[0])
    assert units == ["Pa", "hPa", "kPa", "inHg", "inH2O"]


def test_a_finding_of_a_figure_of_the_hood_is_opened(begin):
    surveyor = begin(limits=[on_hood("noise", None, "62 dBA")])
    surveyor.fill(t0f_monitor="99", **{"mf-noise": "64"})
    surveyor.press("keep")
    surveyor.sign()
    (finding,) = surveyor.survey.findings.all()
    assert (finding.figure, finding.opening_name) == ("noise", "")
    page = said(surveyor.client.get(reverse("surveys:finding", args=[finding.pk])))
    assert "Noise in front of the hood" in page
    assert "64 dBA" in page
