"""A version by which a radioisotope hood would be surveyed later than half-yearly: adopted with a written reason alone."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from surveys.actions import criteria
from surveys.actions.assignment import assign_criteria
from surveys.core.due import months_after
from tests import surveying
from tests.reports.pdf import reading
from tests.surveys.criteria.sent import at, errors, signature
from tests.surveys.words import said

pytestmark = pytest.mark.django_db

WHY = "sealed sources alone; agreed with the radiation office"
REFUSED = (
    "By this version FH-0700 would be surveyed later than every 6 months, as a radioisotope hood usually is: write why that "
    "is enough, or put the months right in the draft."
)


@pytest.fixture
def of(adopted, make_hood, programme_manager, today):
    """A hood of a kind that the set judges from a day on."""

    def make(kind, tag="FH-0700", from_on=today, **fields):
        hood = make_hood(tag=tag, kind=kind, **fields)
        by = {"by": programme_manager, "at": timezone.now()}
        assign_criteria(hoods=[hood], set=adopted.set, from_on=from_on, why="isotopes", **by)
        return hood

    return make


@pytest.fixture
def second(adopted, programme_manager):
    """The next version of the set, a draft that asks for a survey after so many months."""

    def make(months="12"):
        by = {"by": programme_manager, "at": timezone.now()}
        version = criteria.start_version(set=adopted.set, **by)
        due = version.document["due"] | {"months": months}
        return criteria.change_draft(version=version, document=version.document | {"due": due}, **by)

    return make


def test_it_is_refused_at_its_box_without_a_reason_and_nothing_is_adopted(manager, of, second, today):
    of("radioisotope")
    version = second()
    for typed in ("", "   "):
        answer = manager.post(at("adopt_version", version.pk), signature(version, today) | {"seldom": typed})
        assert errors(answer) == {"seldom": [REFUSED]}
    version.refresh_from_db()
    assert (version.adopted_at, version.seldom) == (None, "")


def test_with_a_reason_it_is_adopted_and_the_reason_is_attested_and_told(manager, of, second, today):
    hood = of("radioisotope")
    version = second()
    assert "Why radioisotope hoods are surveyed later" in said(manager.get(at("adopt_version", version.pk)))
    assert manager.post(at("adopt_version", version.pk), signature(version, today) | {"seldom": WHY}).status_code == 302
    version.refresh_from_db()
    assert version.seldom == WHY
    assert json.loads(version.record.content)["seldom"] == WHY
    assert f"Why radioisotope hoods are surveyed so seldom: {WHY}" in said(
        manager.get(at("criteria_version", version.pk))
    )
    assert hood.tag in said(manager.get(reverse("surveys:hood", args=[hood.pk])))


NOT_ASKED = [
    # kind            months  what of it               why
    ("radioisotope",  "6",    {},                      "half-yearly is what is usual"),
    ("general",       "12",   {},                      "no radioisotope hood"),
    ("radioisotope",  "12",   {"retired": True},       "one that is retired is surveyed no more"),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "months", "of_it", "why"), NOT_ASKED, ids=[row[-1] for row in NOT_ASKED])
def test_no_reason_is_asked_for_where_no_hood_is_surveyed_late(
    manager, of, second, today, programme_manager, kind, months, of_it, why
):
    hood = of(kind)
    if of_it:
        hood.events.create(kind="retired", on=today, at=timezone.now(), by=programme_manager)
    version = second(months)
    assert "Why radioisotope hoods" not in said(manager.get(at("adopt_version", version.pk))), why
    assert manager.post(at("adopt_version", version.pk), signature(version, today)).status_code == 302
    version.refresh_from_db()
    assert version.adopted_at is not None
    assert "seldom" not in json.loads(version.record.content)


def test_a_hood_that_comes_to_the_set_later_is_asked_for_too(manager, of, second, today):
    of("radioisotope", from_on=today + timedelta(30))
    version = second("7")
    assert errors(manager.post(at("adopt_version", version.pk), signature(version, today))) == {"seldom": [REFUSED]}


@pytest.mark.parametrize("why", [WHY, ""])
def test_the_page_of_the_hood_and_the_certificate_tell_the_reason_or_that_there_is_none(
    adopted, of, second, today, programme_manager, technician, manager, why
):
    """A version from before has no reason: it stays as it is, and is warned of."""
    hood = of("radioisotope")
    if why:
        criteria.adopt_version(
            version=second(), first_day=today, reason="new limits", seldom=why, by=programme_manager, at=timezone.now()
        )
    content = surveying.entered(surveying.make_instrument(hood.site, programme_manager))
    content["answers"] = [
        {"check": one["check"], "opening": None if one["applies_to"] == "hood" else "working", "answer": "yes"}
        for one in adopted.document["checks"]
    ]
    survey = surveying.survey(hood, content, technician, at=timezone.now())
    assert survey.due_on == months_after(today, 12)
    page = said(manager.get(reverse("surveys:hood", args=[hood.pk])))
    assert "Its criteria ask for a survey later than every 6 months" in page
    assert ("The reason written for it: " + WHY if why else "No reason is written for it.") in page
    printed = reading.quick_text(manager.get(reverse("reports:certificate", args=[survey.pk])).content)
    assert (f"Due so late {WHY}" in " ".join(printed.split())) is bool(why)
    assert survey.record.attested["criteria"].get("seldom") == (why or None)


def test_assigning_one_to_a_set_tells_the_reason_or_that_none_is_written(
    manager, adopted, of, second, make_hood, today, programme_manager
):
    one = make_hood(tag="FH-0701", kind="radioisotope")
    form = {"set": adopted.set_id, "from_on": today, "hoods": [one.pk], "why": "all hoods"}
    warned = "FH-0701 is a radioisotope hood, usually surveyed again after 6 months: this set asks for it later."
    assert f"{warned} No reason is written for it." in said(manager.post(at("assign_criteria"), form, follow=True))
    by = {"by": programme_manager, "at": timezone.now()}
    criteria.adopt_version(version=second(), first_day=today, reason="new", seldom=WHY, **by)
    other = make_hood(tag="FH-0702", kind="radioisotope")
    page = said(manager.post(at("assign_criteria"), form | {"hoods": [other.pk]}, follow=True))
    assert f"The reason written for it: {WHY}" in page
