"""Instruments and calibrations: kept by programme managers, read by technicians; covered or not is said in words."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from hoods.models import Entry
from surveys.models import Calibration, Instrument
from tests import making
from tests.surveys import rows

pytestmark = pytest.mark.django_db

NEW = {
    "name": "A-07", "serial": "TF-22014", "kind": "thermal-anemometer", "velocity": "actual", "resolution": "1 fpm",
    "lowest": "0 ft/min", "highest": "600 ft/min", "accuracy_percent": "3 %", "accuracy_floor": "3 ft/min",
}  # fmt: skip


@pytest.fixture
def manager(programme_manager, signed_in):
    return signed_in(programme_manager)


@pytest.fixture
def today(site):
    return site.today()


@pytest.fixture
def instrument(site):
    return Instrument.objects.create(site=site, name="A-07", serial="TF-22014", resolution="1 ft/min")


@pytest.fixture
def foreign(db):
    return Instrument.objects.create(
        site=making.make_site("Fell College"), name="B-01", serial="9", resolution="1 ft/min"
    )


def at(view: str, *args) -> str:
    return reverse(f"surveys:{view}", args=args)


def errors(response) -> dict[str, list[str]]:
    assert response.status_code == 422
    return {name: [str(error) for error in said] for name, said in response.context["form"].errors.items()}


def calibrated(instrument, by, done_on, due_on):
    return Calibration.objects.create(
        instrument=instrument, certificate=f"C-{done_on}", done_on=done_on, due_on=due_on, at=making.AT, by=by
    )


def test_an_instrument_is_added_and_shown_with_its_unit_code(manager):
    response = manager.post(at("add_instrument"), NEW)
    instrument = Instrument.objects.get()
    assert response.url == at("instrument", instrument.pk)
    assert instrument.resolution == "1 ft/min"
    page = manager.get(response.url).content.decode()
    for word in (
        "TF-22014",
        "0 ft/min to 600 ft/min, in steps of 1 ft/min",
        "no calibration is recorded",
        "Instrument added",
    ):
        assert word in page


WRONG = [
    ("name", "", "Nothing is written"),
    ("resolution", "", "Nothing is written"),
    ("accuracy_percent", "300 %", "more than 100 %"),
    ("resolution", "1", "has no unit"),
    ("resolution", "0 ft/min", "not above zero"),
    ("resolution", "1 mm", "another kind"),
    ("lowest", "-1 ft/min", "without the sign"),
    ("highest", "0 m/s", "not above zero"),
    ("accuracy_percent", "3", "has no unit"),
    ("accuracy_floor", "3 %", "another kind"),
    ("serial", "9\x00", "cannot be kept"),
    ("kind", "sonar", "not in the list"),
]


@pytest.mark.parametrize(("box", "typed", "said"), WRONG, ids=[f"{case[0]} {case[1]!r}" for case in WRONG])
def test_each_refusal_is_a_sentence_at_its_box(manager, box, typed, said):
    response = manager.post(at("add_instrument"), NEW | {box: typed})
    assert list(errors(response)) == [box]
    assert said in errors(response)[box][0]
    assert response.context["form"][box].value() == typed
    assert not Instrument.objects.exists()


def test_the_highest_velocity_is_above_the_lowest_in_whatever_unit(manager):
    assert (
        "not above the lowest"
        in errors(manager.post(at("add_instrument"), NEW | {"lowest": "2 m/s", "highest": "300 ft/min"}))["highest"][0]
    )
    assert manager.post(at("add_instrument"), NEW | {"lowest": "1 m/s", "highest": "300 ft/min"}).status_code == 302


def test_a_name_is_given_once_at_a_site(manager, instrument):
    assert "has this name already" in errors(manager.post(at("add_instrument"), NEW))["name"][0]
    with pytest.raises(IntegrityError), transaction.atomic():
        Instrument.objects.create(site=instrument.site, name="A-07", serial="2")


def test_a_changed_instrument_leaves_its_entry(manager, instrument):
    manager.post(at("change_instrument", instrument.pk), NEW | {"serial": "TF-1", "why": "misread"})
    entry = Entry.objects.of(instrument).first()
    assert (entry.action, entry.before["serial"], entry.after["serial"]) == ("instrument-changed", "TF-22014", "TF-1")
    assert "Reason: misread" in manager.get(at("instrument", instrument.pk)).content.decode()


# --- calibrations ---------------------------------------------------------------------------------------------------------------


def test_a_calibration_is_recorded_and_covers_both_its_days(manager, instrument, today):
    form = {
        "certificate": "L-100",
        "laboratory": "Fell Calibration",
        "done_on": today,
        "due_on": today,
        "in_tolerance": "no",
    }
    assert manager.post(at("record_calibration", instrument.pk), form).url == at("instrument", instrument.pk)
    calibration = Calibration.objects.get()
    assert (calibration.in_tolerance, calibration.covers(today)) == (False, True)
    page = manager.get(at("instrument", instrument.pk)).content.decode()
    assert "It can be used today" in page
    assert "out of tolerance" in page
    assert Entry.objects.of(instrument).first().action == "calibration-recorded"


@pytest.mark.parametrize(("answer", "kept"), [("", None), ("yes", True), ("no", False)])
def test_in_tolerance_is_yes_no_or_not_said(manager, instrument, today, answer, kept):
    form = {"certificate": "L-100", "done_on": today, "due_on": today, "in_tolerance": answer}
    manager.post(at("record_calibration", instrument.pk), form)
    assert Calibration.objects.get().in_tolerance is kept


def test_days_that_cannot_be_are_refused_at_their_box(manager, instrument, today):
    def refused(**days):
        return errors(
            manager.post(at("record_calibration", instrument.pk), {"certificate": "L", "in_tolerance": ""} | days)
        )

    assert "still to come" in refused(done_on=today + timedelta(1), due_on=today + timedelta(9))["done_on"][0]
    assert "before it was done" in refused(done_on=today, due_on=today - timedelta(1))["due_on"][0]
    assert set(refused(done_on="soon", due_on="")) == {"done_on", "due_on"}
    assert "more than five years" in refused(done_on="2025-03-12", due_on="2030-03-13")["due_on"][0]
    assert "more than five years" in refused(done_on="2025-03-12", due_on="2099-01-01")["due_on"][0]
    assert not Calibration.objects.exists()


@pytest.mark.parametrize(("done", "due"), [("2025-03-12", "2030-03-12"), ("2024-02-29", "2029-02-28")])
def test_a_calibration_may_hold_for_five_years(manager, instrument, done, due):
    form = {"certificate": "L", "done_on": done, "due_on": due, "in_tolerance": ""}
    assert manager.post(at("record_calibration", instrument.pk), form).status_code == 302


def test_two_instruments_that_can_be_used_are_both(manager, instrument, site, programme_manager, today):
    other = Instrument.objects.create(site=site, name="A-08", serial="2", resolution="1 ft/min")
    for one in (instrument, other):
        calibrated(one, programme_manager, today - timedelta(9), today + timedelta(9))
    assert "Both instruments can be used today" in manager.get(at("instrument_list")).content.decode()


def test_the_same_certificate_is_not_recorded_twice(manager, instrument, today):
    form = {"certificate": "L-100", "done_on": today, "due_on": today, "in_tolerance": ""}
    manager.post(at("record_calibration", instrument.pk), form)
    assert "recorded already" in errors(manager.post(at("record_calibration", instrument.pk), form))["certificate"][0]


def test_the_database_refuses_one_due_before_it_is_done_and_any_change(instrument, programme_manager, today):
    with pytest.raises(IntegrityError), transaction.atomic():
        calibrated(instrument, programme_manager, today, today - timedelta(1))
    calibrated(instrument, programme_manager, today, today)
    for rewrite in (lambda rows: rows.update(due_on=today + timedelta(99)), lambda rows: rows.delete()):
        with pytest.raises(IntegrityError), transaction.atomic():
            rewrite(Calibration.objects.all())


COVERS = [
    # calibrations [days from today]   said on the page                     why
    ([],                               "no calibration is recorded",        "never calibrated"),
    ([(-400, -35)],                    "its calibration was due on",        "over"),
    ([(-365, 0)],                      "It can be used today",              "its last day"),
    ([(-365, -1)],                     "Not covered today",                 "the day after"),
    ([(-365, 30), (-10, -5)],          "Not covered today",                 "the last one governs"),
]  # fmt: skip


@pytest.mark.parametrize(("days", "said", "why"), COVERS, ids=[case[2] for case in COVERS])
def test_covered_or_not_is_said_first(technician, programme_manager, signed_in, instrument, today, days, said, why):
    for done, due in days:
        calibrated(instrument, programme_manager, today + timedelta(done), today + timedelta(due))
    browser = signed_in(technician)
    assert said in browser.get(at("instrument", instrument.pk)).content.decode()
    covered = said.startswith("It can")
    assert [line[2] for line in browser.get(at("instrument_list")).context["lines"]] == [covered]
    assert ("not covered" in browser.get(at("instrument_list")).content.decode()) is not covered


def test_a_retired_instrument_is_off_the_list_and_keeps_its_page(manager, instrument, today):
    assert (
        "still to come"
        in errors(manager.post(at("retire_instrument", instrument.pk), {"on": today + timedelta(1), "why": "x"}))["on"][
            0
        ]
    )
    manager.post(at("retire_instrument", instrument.pk), {"on": today, "why": "dropped"})
    assert manager.get(at("instrument_list")).context["lines"] == []
    assert "Retired on" in manager.get(at("instrument", instrument.pk)).content.decode()


# --- who may ---------------------------------------------------------------------------------------------------------------------

def test_a_retired_instrument_stays_as_it_is(manager, instrument, today):
    assert manager.post(at("change_instrument", instrument.pk), NEW | {"serial": "TF-1"}).status_code == 302
    manager.post(at("retire_instrument", instrument.pk), {"on": today, "why": "dropped"})
    refused = manager.post(at("change_instrument", instrument.pk), NEW | {"serial": "TF-2"})
    assert "This instrument is retired: what is said of it stays as it is." in refused.content.decode()
    assert refused.status_code == 422
    instrument.refresh_from_db()
    assert instrument.serial == "TF-1"


KEEPING = ("add_instrument", "change_instrument", "retire_instrument", "record_calibration")


@pytest.mark.parametrize("role", ["technician", "lab_manager", "auditor", "stranger"])
@pytest.mark.parametrize("view", KEEPING)
def test_only_the_programme_manager_keeps_instruments(request, signed_in, instrument, role, view):
    browser = signed_in(request.getfixturevalue(role))
    address = at(view) if view == "add_instrument" else at(view, instrument.pk)
    assert browser.get(address).status_code == 403
    assert browser.post(address, NEW).status_code == 403
    assert not Entry.objects.filter(thing="instrument").exists()


def test_a2_an_instrument_of_another_site_is_not_there(manager, foreign, today):
    for view in ("instrument", *KEEPING[1:]):
        assert manager.get(at(view, foreign.pk)).status_code == 404
    form = {"certificate": "L", "done_on": today, "due_on": today, "in_tolerance": ""}
    assert manager.post(at("record_calibration", foreign.pk), form).status_code == 404
    assert "B-01" not in manager.get(at("instrument_list")).content.decode()


def test_the_list_asks_as_much_of_one_instrument_as_of_three(
    manager, site, instrument, programme_manager, today, django_assert_num_queries, django_assert_max_num_queries
):
    calibrated(instrument, programme_manager, today, today)
    with django_assert_max_num_queries(12) as asked:
        manager.get(at("instrument_list"))
    for name in ("A-08", "A-09"):
        one = Instrument.objects.create(site=site, name=name, serial=name, resolution="1 ft/min")
        calibrated(one, programme_manager, today, today)
    with django_assert_num_queries(len(asked.captured_queries)):
        assert len(manager.get(at("instrument_list")).context["lines"]) == 3


def test_an_instrument_tells_which_hoods_rest_on_readings_in_doubt(
    manager, signed_in, lab_manager, site, programme_manager, technician, make_hood, other_room, today
):
    version = rows.criteria(site, programme_manager)
    hoods = [make_hood(tag=tag) for tag in ("FH-0142", "FH-0143")]
    surveys = [rows.survey(hood, version, technician, today - timedelta(days=40)) for hood in hoods]
    used = surveys[0].instrument
    assert "In doubt" not in manager.get(at("instrument", used.pk)).content.decode()
    rows.out_of_tolerance(used, programme_manager, today - timedelta(days=10))
    other = Instrument.objects.create(site=site, name="A-11", serial="2", resolution="1 ft/min")
    rows.survey(hoods[1], version, technician, today - timedelta(days=5), instrument=other)  # surveyed again since
    said = manager.get(at("instrument", used.pk)).content.decode()
    assert "One hood rests on readings of it that may be wrong." in said
    assert "FH-0142" in said
    assert "FH-0143" not in said
