"""What a monitor shows beside its traverse, and what its alarm did: asked, reviewed, signed, printed, on the blank form."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from surveys.models import Judgement
from tests.reports.pdf import reading
from tests.surveys.beside import ALARM, FLOW, FORCED, GAUGE, VELOCITY, beginner, on_hood, part, printed, words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def begin(room, site, technician, programme_manager, signed_in):
    return beginner(room, site, technician, programme_manager, signed_in)


# --- the monitor ------------------------------------------------------------------------------------------------------


def test_a_monitor_of_flow_stands_beside_the_flow_that_was_computed_without_a_percentage(begin):
    """62 in by 18 in is 7.75 ft²; the average is 99.6 ft/min, so 771.9 ft³/min go through the opening."""
    surveyor = begin(
        FLOW, [{"figure": "monitor-error-percent", "at_most": "10 %", "applies_to": "each", "consequence": "fail"}]
    )
    surveyor.fill(t0f_monitor="812")
    surveyor.press("keep")
    monitor = part(surveyor.page, "monitor-0")
    assert "The traverse gives 772 ft³/min: average × free area." in words_of(monitor)
    assert 'name="t0f_monitor_unit" value="ft**3/min"' in monitor
    assert "%" not in words_of(monitor), "no error in percent is told of a flow"
    assert "Error of the monitor" not in words_of(surveyor.page)
    surveyor.sign(missing_confirmed="on")
    for page in (surveyor.review, surveyor.open()):
        assert "812 ft³/min. The traverse gives 772 ft³/min" in words_of(page)
        assert "off by" not in page
    assert surveyor.content()["traverses"][0]["monitor"] == "812 ft**3/min"
    certificate = printed(surveyor)
    assert "monitor 812 ft³/min beside 772 ft³/min computed" in certificate


def test_a_gauge_of_pressure_stands_beside_its_mark(begin):
    limit = {
        "figure": "monitor-mark-ratio",
        "at_least": "0.90",
        "applies_to": "each",
        "consequence": "restrict",
        "restriction": "attended work only",
    }
    surveyor = begin(GAUGE, [limit])
    assert "Its mark is 60 Pa." in words_of(part(surveyor.page, "monitor-0")), "before anything is read"
    surveyor.fill(t0f_monitor="51")
    surveyor.press("keep")
    assert "Its mark is 60 Pa. Shown ÷ mark: 0.85." in words_of(part(surveyor.page, "monitor-0"))
    assert "Provisional: restricted, attended work only" in surveyor.page
    surveyor.sign(missing_confirmed="on")
    assert (surveyor.survey.verdict, surveyor.survey.restriction) == ("restrict", {"use": "attended work only"})
    assert "51 Pa. Its mark is 60 Pa. Shown ÷ mark: 0.85." in words_of(surveyor.open())
    certificate = printed(surveyor)
    assert "monitor 51 Pa, its mark 60 Pa" in certificate
    assert "Pressure of the monitor against its mark" in certificate
    assert "shows pressure, mark at 60 Pa, alarm at 45 Pa" in certificate


def test_a_gauge_without_a_mark_says_so_and_a_limit_on_it_is_not_tested(begin):
    limit = {"figure": "monitor-mark-ratio", "at_least": "0.90", "applies_to": "each", "consequence": "fail"}
    surveyor = begin(GAUGE | {"set_point": ""}, [limit])
    surveyor.fill(t0f_monitor="51")
    surveyor.press("keep")
    assert "The register says no mark of its gauge." in surveyor.page
    assert "the register says no mark of the gauge (its set point) to compare with" in surveyor.page
    assert "Provisional: no verdict yet" in surveyor.page


@pytest.mark.parametrize(
    ("facts", "shown"), [(GAUGE, True), (FLOW, False), (VELOCITY, False), ({"monitor": "none"}, False)]
)
def test_a_limit_on_a_gauge_stands_beside_the_grid_of_hoods_that_have_one(begin, facts, shown):
    surveyor = begin(
        facts, [{"figure": "monitor-mark-ratio", "at_least": "0.90", "applies_to": "each", "consequence": "note"}]
    )
    assert ("Gauge ÷ its mark" in part(surveyor.page, "traverse-0")) == shown


@pytest.mark.parametrize(
    ("shown", "error"), [("98", "−1.6 %"), ("100", "+0.4 %"), ("99.6", "0 %")], ids=["under", "a little over", "none"]
)
def test_a_monitor_of_velocity_is_told_with_its_error(begin, shown, error):
    """The average is 99.6: (98 − 99.6) / 99.6 is −1.606 %, (100 − 99.6) / 99.6 is 0.402 %."""
    surveyor = begin()
    surveyor.fill(t0f_monitor=shown)
    surveyor.press("keep")
    monitor = words_of(part(surveyor.page, "monitor-0"))
    assert f"The traverse gives 99.6 ft/min. The monitor is off by {error}." in monitor


@pytest.mark.parametrize(("facts", "unit", "refused"), [
    (FLOW, "ft/min", "is in the wrong kind of unit"),
    (GAUGE, "ft/min", "is in the wrong kind of unit"),
])  # fmt: skip
@pytest.mark.parametrize("name", ["t0f_monitor", "found_monitor"])
def test_what_a_monitor_cannot_show_is_refused_at_its_box(begin, facts, unit, refused, name):
    surveyor = begin(facts)
    surveyor.fill(**{name: "100", f"{name}_unit": unit})
    surveyor.press("keep")
    box = surveyor.page[surveyor.page.index(f'id="{name}-e"') :][:400]
    assert refused in words_of(box)
    surveyor.sign(expect=422, missing_confirmed="on")


# --- the alarm --------------------------------------------------------------------------------------------------------


def test_how_the_alarm_was_forced_and_what_it_did_are_asked_signed_and_printed(begin):
    limits = [on_hood("alarm-ratio", "0.95", "1.05", "restrict"), on_hood("alarm-seconds", None, "10 s")]
    surveyor = begin(limits=limits, checks=[ALARM])
    monitor = words_of(part(surveyor.page, "monitor-0"))
    assert "Its alarm point is 80 ft/min." in monitor
    waits = re.findall(r'data-needed="([^"]*)"', part(surveyor.page, "monitor-0"))
    assert waits == [
        "what the monitor shows", "alarm", "how the alarm was forced", "what was shown when the alarm tripped",
        "after how long the alarm tripped", "whether the alarm sounded", "whether the alarm lit",
    ]  # fmt: skip
    surveyor.fill(t0f_monitor="99", **FORCED, **{"ahf-alarm-works": "yes"})
    surveyor.press("keep")
    assert "Everything is answered." in surveyor.page
    surveyor.sign()
    told = "Alarm when forced How the alarm was forced The sash was raised Shown when it tripped 79 ft/min After how long 4 s Did it sound? Yes Did it light? Yes"
    for page in (surveyor.review, surveyor.open()):
        assert told in words_of(page)
        assert "Alarm against its alarm point" in page, "79 of 80 is 0.9875, held to its limit"
    assert Judgement.objects.get(figure="alarm-seconds").value == "4"
    assert surveyor.content()["alarms"] == [
        {"state": "as-found", "forced": "sash-raised", "trip": "79 ft/min", "after": "4 s", "sound": "yes", "light": "yes"}
    ]  # fmt: skip
    certificate = printed(surveyor)
    assert (
        "the sash was raised; tripped at 79 ft/min (its alarm point 80 ft/min); after 4 s; it sounded; it lit"
        in certificate
    )
    assert "Time until the alarm tripped" in certificate


@pytest.mark.parametrize("answer", ["not-applicable", "not-tested"])
def test_an_alarm_that_is_not_there_or_not_looked_at_is_asked_nothing_more(begin, answer):
    surveyor = begin(limits=[on_hood("alarm-seconds", None, "10 s")], checks=[ALARM])
    surveyor.fill(**{"ahf-alarm-works": answer})
    surveyor.press("keep")
    waits = re.findall(r'data-needed="([^"]*)"', part(surveyor.page, "monitor-0"))
    assert waits == ["what the monitor shows", "alarm"]


def test_a_limit_on_the_alarm_is_taken_away_where_there_is_none(begin):
    without_point = VELOCITY | {"alarm_point": ""}  # of a known alarm it is no answer that it does not apply
    surveyor = begin(without_point, limits=[on_hood("alarm-seconds", None, "10 s", "restrict")], checks=[ALARM])
    assert "Time until the alarm tripped: not measured." in surveyor.page
    surveyor.fill(**{"ahf-alarm-works": "not-applicable"})
    surveyor.press("keep")
    assert "Time until the alarm tripped: not measured." not in surveyor.page
    assert "Provisional: pass" in surveyor.page


@pytest.mark.parametrize("what", ["sound", "light"])
def test_a_yes_beside_an_alarm_that_did_not_is_refused_at_its_question(begin, what):
    surveyor = begin(checks=[ALARM])
    surveyor.fill(t0f_monitor="99", **{"ahf-alarm-works": "yes"}, **(FORCED | {f"alarmf_{what}": "no"}))
    surveyor.press("keep")
    error = surveyor.page[surveyor.page.index(f'id="alarmf_{what}-q-e"') :][:400]
    assert "The check of the alarm is answered yes, and this says that it did not." in words_of(error)
    surveyor.sign(expect=422, missing_confirmed="on")
    surveyor.open()
    surveyor.fill(**{"ahf-alarm-works": "no"})
    surveyor.press("keep")
    surveyor.sign(missing_confirmed="on")


@pytest.mark.parametrize(("name", "text", "refused"), [
    ("alarmf_after", "soon", "is not a plain number"), ("alarmf_after", "-1", "is negative"), ("alarmf_trip", "1,5", "has a comma"),
    ("mn-light", "bright", "is not a plain number"), ("mf-noise", "-3", "is negative"),
])  # fmt: skip
def test_e1_what_is_no_amount_is_kept_told_at_its_box_and_stops_signing(begin, name, text, refused):
    surveyor = begin()
    surveyor.fill(**{name: text})
    surveyor.press("keep")
    assert surveyor.form.boxes[name] == text
    assert refused in words_of(surveyor.page[surveyor.page.index(f'id="{name}-e"') :][:400])
    surveyor.sign(expect=422, missing_confirmed="on")


def test_whether_the_alarm_was_muted_is_asked_wherever_there_is_one_and_told_though_nothing_asks(begin):
    surveyor = begin()
    assert 'name="ahf-alarm-not-muted"' in part(surveyor.page, "found")
    surveyor.fill(t0f_monitor="99", **{"ahf-alarm-not-muted": "no"})
    surveyor.press("keep")
    surveyor.sign(missing_confirmed="on")
    assert surveyor.survey.verdict == "pass", "the criteria do not ask it, so it costs nothing"
    assert "Is the alarm free to sound: not muted, silenced or disconnected? No" in words_of(surveyor.open())
    assert "Alarm not muted: No" in printed(surveyor)


def test_a_hood_without_a_monitor_is_asked_about_no_alarm(begin):
    surveyor = begin({"monitor": "none"})
    assert "alarmf_" not in surveyor.page
    assert "alarm-not-muted" not in surveyor.page


def test_a_muted_alarm_that_was_freed_is_asked_once_more_as_left(begin):
    muted = {"check": "alarm-not-muted", "applies_to": "hood", "consequence": "note"}
    surveyor = begin(checks=[muted, ALARM])
    left = part(surveyor.page, "left")
    for box in ('name="ahl-alarm-not-muted"', 'name="ahl-alarm-works"', 'name="alarml_trip"', 'name="ml-noise"'):
        assert box in left
    assert 'name="ml-light"' not in left, "the light does not follow the air"


def test_the_blank_form_asks_the_same(begin):
    surveyor = begin(FLOW, [on_hood("alarm-seconds", None, "10 s")], [ALARM], filled=False)
    hood = surveyor.draft.hood
    words = reading.quick_text(surveyor.client.get(reverse("reports:hood_blank", args=[hood.pk])).content)
    for asked in (
        "Light on the work surface", "Noise in front of the hood", "Its alarm point is 600 ft³/min", "How the alarm was forced",
        "the flow was reduced", "Did it sound?", "Is the alarm free to sound",
    ):  # fmt: skip
        assert asked.lower() in words.lower(), asked
    assert words.count("How the alarm was forced") == 2, "as found and as left"
