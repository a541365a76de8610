"""What every page says of a hood that was changed after its survey, and of one that is changed while it is surveyed."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from hoods import actions
from hoods.models import Entry, HoodEvent
from surveys import queries
from surveys.actions.drafts import start_draft
from surveys.actions.transcribing import start_transcription
from surveys.core import status as core
from surveys.history import history_of
from tests import surveying
from tests.hoods.hood_boxes import NEW
from tests.surveys.conftest import NOW, TODAY
from tests.surveys.words import first_line, said

pytestmark = pytest.mark.usefixtures("now")

BOXES = {name: NEW[name] for name in NEW if name not in ("on", "position", "order", "exhaust", "width", "height")}
BOXES["tag"] = "FH-0142"
CHANGES = [
    ("kind", "canopy", "The kind of this hood was changed since it was measured, which ended every approval."),
    (
        "control",
        "variable-volume",
        "The volume control of this hood was changed since it was measured, which ended every approval.",
    ),
    ("sash", "horizontal", "The sash of this hood was changed since it was measured, which ended every approval."),
]


@pytest.fixture
def manager(signed_in, programme_manager):
    return signed_in(programme_manager)


@pytest.fixture
def changed(hood_of, programme_manager):
    def make(status="met-criteria", **what):
        hood = hood_of(status, tag="FH-0142")
        actions.change_hood(hood=hood, by=programme_manager, at=NOW, why="rebuilt", **what)
        return hood

    return make


@pytest.mark.parametrize(("field", "value", "sentence"), CHANGES, ids=[row[0] for row in CHANGES])
def test_every_page_says_that_it_is_not_to_be_used_and_why(
    changed, manager, signed_in, technician, room, field, value, sentence
):
    hood = changed(**{field: value})
    page = manager.get(reverse("surveys:hood", args=[hood.pk]))
    assert first_line(page) == "Not yet surveyed: do not use until commissioned."
    assert sentence in said(page)
    assert "rebuilt" in said(page), "the event keeps the reason"
    for address in (
        reverse("surveys:room", args=[room.pk]), reverse("surveys:hood_list"), reverse("surveys:due_list"),
    ):  # fmt: skip
        listed = said(manager.get(address))
        assert "Not yet surveyed" in listed, address
        assert "Met criteria" not in listed.replace("Met criteria means", ""), address
    public = said(Client().get(f"/H/{hood.code}"))
    assert "Not yet surveyed: do not use until commissioned." in public
    assert "18 in" not in first_line(Client().get(f"/H/{hood.code}"))
    assert "no longer valid" in said(Client().get(f"/H/{hood.code}/1"))
    refused = signed_in(technician).post(reverse("reports:label", args=[hood.pk]))
    assert (refused.status_code, "No label" in said(refused)) == (403, True)


VOID = "The label on it is void: take it off."
DECIDES = ("The label or sign on the hood decides. This page", "at the label or sign on the hood: they decide")


def pages_of(hood, room, manager):
    asked = [reverse("surveys:hood", args=[hood.pk]), reverse("surveys:room", args=[room.pk]), f"/H/{hood.code}"]
    return [said(manager.get(address)) for address in asked]


OLD = "It has no valid label: an opening was changed since it was measured. Take the old label off."


@pytest.mark.parametrize(("change", "taken_off"), [("hood", VOID), ("its highest opening", OLD)])
def test_every_page_says_that_the_label_of_before_is_void(hood_of, manager, programme_manager, room, change, taken_off):
    hood = hood_of("met-criteria", tag="FH-0142")
    before = pages_of(hood, room, manager)
    assert not any("void" in page for page in before), "the control: its label decides"
    assert [any(one in page for one in DECIDES) for page in before] == [True, False, True]
    if change == "hood":
        actions.change_hood(hood=hood, by=programme_manager, at=NOW, why="rebuilt", kind="canopy")
    else:
        actions.change_opening(opening=hood.openings.get(name="working"), height="20 in", by=programme_manager, at=NOW)
    after = pages_of(hood, room, manager)
    assert all(taken_off in page for page in after)
    assert not any(one in page for page in after for one in DECIDES)
    decides = "The label or sign on the hood decides. Not at FH-0142: a label there is void, take it off. Replace this list"
    assert decides in after[1], "its print too"


def test_a_hood_that_never_had_a_label_has_none_to_take_off(make_hood, manager, room):
    assert not any("void" in page for page in pages_of(make_hood(), room, manager))


def test_the_control_what_ends_nothing_leaves_every_page_as_it_was(changed, manager):
    hood = changed(maker="Alder")
    page = manager.get(reverse("surveys:hood", args=[hood.pk]))
    assert "changed since it was measured" not in said(page)
    assert "18 in (457 mm)" in first_line(page)
    assert "no longer valid" not in said(Client().get(f"/H/{hood.code}/1"))


@pytest.mark.parametrize("status", ["met-criteria", "restricted", "overdue", "out-of-service", "failed", "do-not-use"])
def test_no_hood_that_becomes_a_canopy_is_granted_anything(changed, signed_in, technician, status):
    hood = changed(status, kind="canopy")
    found = queries.status_of(hood, TODAY)
    assert not found.grants
    assert not core.grants_label(found)
    assert core.label_standing(history_of(hood).facts, 1, TODAY) in (core.OUTDATED, core.NO_LABEL)
    refused = signed_in(technician).post(reverse("reports:label", args=[hood.pk]))
    assert (refused.status_code, "No label" in said(refused)) == (403, True)


def test_a_past_day_is_told_as_it_was(changed, manager):
    hood = changed(kind="canopy")
    yesterday = (TODAY - timedelta(days=1)).isoformat()
    assert "changed since it was measured" not in said(
        manager.get(reverse("surveys:hood", args=[hood.pk]), {"on": yesterday})
    )


def test_the_page_of_the_change_says_so_before_and_after(hood_of, manager):
    hood = hood_of("met-criteria", tag="FH-0142")
    address = reverse("hoods:change_hood", args=[hood.pk])
    page = said(manager.get(address))
    assert page.count("A change ends every approval: the hood is not to be used before it is surveyed.") == 4
    assert "changing it back restores none" in page
    after = manager.post(address, BOXES | {"sash": "horizontal", "why": "panels put in"}, follow=True)
    assert (
        "FH-0142 is changed. It is not to be used before it is surveyed as it is now: have its label taken off."
        in said(after)
    )
    entry = Entry.objects.of(hood).first()
    assert (entry.action, entry.before, entry.after, entry.why) == (
        "hood-changed", {"sash": "vertical"}, {"sash": "horizontal"}, "panels put in",
    )  # fmt: skip
    event = HoodEvent.objects.get(kind="sash-changed")
    assert (event.hood, event.on, event.why) == (hood, TODAY, "panels put in")
    again = manager.post(address, BOXES | {"sash": "horizontal", "maker": "Alder"}, follow=True)
    assert "FH-0142 is changed. It is not" not in said(again), "nothing ends by what stays as it is"
    assert HoodEvent.objects.filter(kind="sash-changed").count() == 1


def test_registering_is_no_change(make_hood):
    assert not make_hood().events.filter(kind__in=("kind-changed", "sash-changed", "control-changed")).exists()


# --- while it is surveyed -------------------------------------------------------------------------------------------------

UNDER_WAY = "The hood was changed since this survey was begun:"


@pytest.fixture
def ready(hood, version, programme_manager):
    surveying.assign(hood, version, programme_manager)
    return hood


@pytest.fixture
def measured(ready, instrument, technician):
    """A survey whose last reading was kept half an hour ago."""
    draft = start_draft(hood=ready, by=technician, at=NOW - timedelta(hours=1))
    surveying.save(draft, surveying.entered(instrument), technician, NOW - timedelta(minutes=30))
    return draft


@pytest.mark.parametrize(
    ("act", "named"),
    [
        (lambda hood, **who: actions.change_hood(hood=hood, kind="high-performance", **who), "Kind of hood changed"),
        (lambda hood, **who: actions.change_opening(opening=hood.openings.get(), height="17 in", **who), "Opening changed (working)"),
    ],
    ids=["hood", "opening"],
)  # fmt: skip
def test_a_survey_under_way_says_before_signing_that_it_would_approve_nothing(
    measured, technician, programme_manager, signed_in, act, named
):
    client = signed_in(technician)
    pages = [reverse(f"surveys:{name}", args=[measured.pk]) for name in ("detail", "review")]
    assert not any(UNDER_WAY in said(client.get(page)) for page in pages), "the control: before it was changed"
    act(measured.hood, by=programme_manager, at=NOW - timedelta(minutes=20))
    for page in pages:
        assert f"{UNDER_WAY} {named}, 30 MAR 2026, 09:52." in said(client.get(page))
    surveying.sign(measured, technician, NOW)
    assert queries.status_of(measured.hood, TODAY).code == "not-surveyed", "and it does"


def test_a_survey_that_goes_on_after_the_change_counts(measured, instrument, technician, programme_manager):
    actions.change_hood(
        hood=measured.hood, kind="high-performance", by=programme_manager, at=NOW - timedelta(minutes=20)
    )
    again = surveying.entered(instrument, notes="measured again")
    surveying.save(measured, again, technician, NOW - timedelta(minutes=5))
    surveying.sign(measured, technician, NOW)
    assert queries.status_of(measured.hood, TODAY).in_use


def test_a_paper_from_before_the_change_says_so_too(ready, technician, programme_manager, signed_in):
    before = TODAY - timedelta(days=5)
    actions.change_hood(hood=ready, kind="high-performance", by=programme_manager, at=NOW - timedelta(days=2))
    made = {"hood": ready, "measured_by": "Lena Orth", "by": technician, "at": NOW}
    old = start_transcription(measured_on=before, **made)
    new = start_transcription(measured_on=TODAY - timedelta(days=1), **made)
    client = signed_in(technician)
    assert UNDER_WAY in said(client.get(reverse("surveys:detail", args=[old.pk])))
    assert UNDER_WAY not in said(client.get(reverse("surveys:detail", args=[new.pk]))), "the control"


def test_the_page_gives_no_good_reason_of_a_survey_that_a_change_ended(hood_of, manager, programme_manager):
    hood = hood_of("met-criteria", tag="FH-0142")

    def why():
        return said(manager.get(reverse("surveys:hood", args=[hood.pk]))).partition("What is forbidden")[0]

    assert "Judged by" in why(), "the control"
    actions.change_hood(hood=hood, by=programme_manager, at=NOW, why="rebuilt", kind="canopy")
    assert "which ended every approval." in why()
    assert "Judged by" not in why()
