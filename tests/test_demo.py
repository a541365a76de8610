"""The demo: everything that the program knows is in it, and for every hood and role the pages and prints agree."""

from __future__ import annotations

import re
from datetime import UTC, datetime

import pytest
import time_machine
from django.db import transaction
from django.urls import reverse

from config.demo import prints, scenario
from config.demo.build import build
from hoods.models import Hood, HoodEvent, Person
from surveys import queries
from surveys.core import status as core
from surveys.core.units import both
from surveys.history import history_of
from surveys.models import Finding, LabelCopy, Qualification, Survey
from surveys.views.reading import sash_of
from tests import agreement, pages
from tests.agreement import Told
from tests.reports.pdf import reading
from tests.surveys.words import said

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 5, 20, 10, 30, tzinfo=UTC)
WORDS = {
    "met-criteria": "Met criteria", "restricted": "Restricted", "do-not-use": "Do not use",
    "out-of-service": "Out of service", "hibernated": "Hibernated", "not-surveyed": "Not yet surveyed",
    "retired": "Retired",
}  # fmt: skip
EMAILS = {someone.role: someone.email for someone in scenario.PEOPLE}
TAGS = [plan.tag for plan in scenario.HOODS]


@pytest.fixture(scope="module", autouse=True)
def loaded(django_db_setup, django_db_blocker):
    """What was said while the demo was loaded, once for this file; nothing of it is committed."""
    words = []
    with time_machine.travel(NOW, tick=False), django_db_blocker.unblock(), transaction.atomic():
        build(now=NOW, say=words.append, whole=False)
        yield words
        transaction.set_rollback(True)


def person_of(role: str) -> Person:
    return Person.objects.get(email=EMAILS[role])


@pytest.fixture
def as_role(signed_in):
    """A browser of the person who has a role."""
    return lambda role: signed_in(person_of(role))


def hood_of(tag: str) -> Hood:
    return Hood.objects.select_related("site").get(tag=tag)


def status_of(hood: Hood) -> core.Status:
    return queries.statuses([hood], hood.site.today())[hood.pk]


# --- everything is in it ----------------------------------------------------------------------------------------------


def test_every_status_flag_and_verdict_is_there():
    statuses = queries.statuses(list(Hood.objects.select_related("site")), NOW.date()).values()
    assert {status.code for status in statuses} == set(core.STATUSES)
    assert {flag.code for status in statuses for flag in status.flags} == set(core.FLAGS) - {core.NOT_SIGNED_HERE}
    assert set(Survey.objects.values_list("verdict", flat=True)) == {"pass", "restrict", "fail", "no-verdict"}
    restrictions = [set(status.restriction or ()) for status in statuses]
    assert {"largest_opening"} in restrictions
    assert {"use"} in restrictions


def test_every_answer_of_did_the_label_hold_is_there():
    assert set(Survey.objects.values_list("held", flat=True)) >= {"held", "not-held", "no-label"}


def test_labels_hold_are_suspended_and_are_outdated():
    standings = set()
    for hood in Hood.objects.all():
        facts = history_of(hood).facts
        standings |= {core.label_standing(facts, issue, NOW.date()) for issue in range(1, 4)}
    assert standings == set(core.STANDINGS)


def test_it_was_said_step_by_step(loaded):
    assert loaded == ["the site, its people, rooms, fans and anemometers", "12 hoods with two years of surveys"]


def test_the_prints_are_written(tmp_path):
    site = hood_of(TAGS[0]).site
    said = list(prints.write(site, tmp_path / "out"))
    files = {file.name: file.read_bytes() for file in (tmp_path / "out").iterdir()}
    assert sorted(said) == sorted(f"wrote {tmp_path / 'out' / name}" for name in files)
    assert sorted(files) == ["certificate-FH-0110.pdf", "do-not-use-FH-0105.pdf", "label-FH-0103.pdf"]
    assert agreement.on_a_label(files["label-FH-0103.pdf"]) == Told("Restricted", "12 in (304 mm)")
    assert "Certificate of survey" in reading.quick_text(files["certificate-FH-0110.pdf"])
    assert "DO NOT USE" in reading.quick_text(files["do-not-use-FH-0105.pdf"])


def test_prints_that_are_there_stay_and_no_copy_is_recorded_again(tmp_path):
    site, copies = hood_of(TAGS[0]).site, LabelCopy.objects.count()
    list(prints.write(site, tmp_path))
    assert LabelCopy.objects.count() == copies + 1
    again = list(prints.write(site, tmp_path))
    assert again[0] == f"{tmp_path / 'label-FH-0103.pdf'} is there already: a label is not printed again for nothing"
    assert len(again) == 3
    assert LabelCopy.objects.count() == copies + 1
    (tmp_path / "label-FH-0103.pdf").unlink()  # thrown away: it is printed anew, and that is a copy
    list(prints.write(site, tmp_path))
    assert LabelCopy.objects.count() == copies + 2


# --- the pages agree --------------------------------------------------------------------------------------------------


def wanted(hood: Hood) -> Told:
    status = status_of(hood)
    sash = sash_of(status, hood.sash)
    day = lambda on: f"{on.day} {on:%b} {on.year}".replace(f"{on:%b}", f"{on:%b}".upper())  # noqa: E731
    names = {"overdue": "Overdue since {}", "instrument-in-doubt": "Instrument in doubt", "from-paper": "Transcribed from paper"}
    flags = tuple(names[flag.code].format(day(flag.since) if flag.since else "") for flag in status.flags)
    return Told(WORDS[status.code], both(sash.height) if sash else None, flags)


@pytest.mark.parametrize("role", EMAILS)
def test_all_pages_agree_on_every_hood(role, as_role):
    client = as_role(role)
    seen = Hood.objects.visible_to(person_of(role))
    assert seen.count() == {"lab-manager": 7}.get(role, 12)
    everything = agreement.everywhere_of(client, seen)
    for hood in seen:
        told, expected = everything[hood.tag], wanted(hood)
        retired = expected.status == "Retired"
        for name in ("hood", "public"):
            assert told[name] == expected, (hood.tag, name)
        for name in ("room", "list", "building"):
            assert told[name] == (None if retired else expected), (hood.tag, name)
        found = client.get(reverse("surveys:hood_list"), {"q": hood.tag})
        assert agreement.in_a_list(found, hood.tag) == expected
        for name in ("home", "due"):
            if told[name] is not None:
                limited = "largest_opening" in (status_of(hood).restriction or {})
                assert told[name] == expected._replace(sash=expected.sash if limited else None), (hood.tag, name)


@pytest.mark.parametrize("tag", TAGS)
def test_the_public_sees_the_same_and_no_name_of_a_person(tag, client):
    hood = hood_of(tag)
    response = client.get(reverse("public_hood", args=[hood.code]))
    assert agreement.to_the_public(response) == wanted(hood)
    for someone in scenario.PEOPLE:
        assert someone.name not in said(response)


def test_who_does_not_see_a_room_does_not_see_its_hoods(as_role):
    client = as_role("lab-manager")
    for hood in Hood.objects.all():
        visible = hood.placements.get().room.number in ("2.14", "2.16")
        for page in ("surveys:hood", "hoods:hood_inventory"):
            assert client.get(reverse(page, args=[hood.pk])).status_code == (200 if visible else 404)


def test_the_due_list_leaves_out_no_hood_that_is_owed(as_role):
    for role in ("technician", "programme-manager", "auditor"):
        due = as_role(role).get(reverse("surveys:due_list"))
        for hood in Hood.objects.all():
            owed = status_of(hood).code not in ("retired", "hibernated")
            told = agreement.in_what_is_due(due, hood.tag)
            assert (told is not None) == owed, hood.tag


# --- and the paper agrees with the pages ------------------------------------------------------------------------------


@pytest.mark.parametrize("tag", TAGS)
def test_a_hood_has_either_its_label_or_the_sign_and_it_says_what_the_pages_say(tag, as_role):
    hood, client = hood_of(tag), as_role("technician")
    expected = wanted(hood)
    label = client.post(reverse("reports:label", args=[hood.pk]))
    sign = client.get(reverse("reports:stop_sign", args=[hood.pk]))
    if expected.status in ("Met criteria", "Restricted"):
        assert agreement.on_a_label(label.content) == expected[:2] + ((),)
        use = (status_of(hood).restriction or {}).get("use", "")
        assert use.lower() in reading.quick_text(label.content).lower()
        assert sign.status_code == 403
    else:
        assert label.status_code == 403
        assert "DO NOT USE" in reading.quick_text(sign.content)
        assert tag in reading.quick_text(sign.content)


def test_no_label_is_printed_on_a_sheet_of_a_hood_that_has_none(as_role):
    client, granted = as_role("technician"), set()
    for tag in TAGS:
        hood = hood_of(tag)
        sent = {"hoods": [hood.pk], "sheet": "a4-2x5", "start": "1"}
        answer = client.post(reverse("reports:labels"), sent)
        if answer.status_code == 200:
            granted.add(tag)
            assert hood.code in reading.quick_text(answer.content)
        else:
            assert answer.status_code == 403
    assert granted == {tag for tag in TAGS if core.grants_label(status_of(hood_of(tag)))}


@pytest.mark.parametrize("tag", TAGS)
def test_a_label_that_is_scanned_says_whether_it_holds(tag, client):
    hood = hood_of(tag)
    newest = max((one or 0 for one in hood.surveys.values_list("label_issue", flat=True)), default=0)
    for issue in range(1, newest + 2):
        words = said(client.get(reverse("public_label", args=[hood.code, issue])))
        status = status_of(hood)
        if issue > newest:
            assert "No label with this issue number" in words
        elif status.grants and issue == status.label_issue:
            assert "remove it" not in words
            assert "does not hold now" not in words
        else:
            assert "This label is no longer valid: remove it." in words or "does not hold now" in words


def test_every_survey_has_its_paper_and_page_under_the_same_title(as_role):
    client = as_role("auditor")
    for survey in Survey.objects.select_related("record"):
        page = client.get(reverse("surveys:detail", args=[survey.pk]))
        title = re.search(r'(?s)<p class="answer">.*?<strong>(.*?)\.</strong>', page.content.decode())
        assert title
        paper = client.get(reverse("reports:certificate", args=[survey.pk]))
        words = "".join(reading.quick_text(paper.content).split())
        assert "".join(title[1].split()) in words
        assert survey.record.sha256[:16] in words


# --- A5: reading changes nothing --------------------------------------------------------------------------------------


@pytest.mark.long
@pytest.mark.parametrize("role", ["auditor", "lab-manager"])
def test_a5_following_every_link_changes_nothing(role, as_role):
    client, before = as_role(role), pages.everything()
    met = [address for address, response in pages.crawl(client, "/") if response.status_code == 200]
    assert len(met) > 50
    assert pages.changed(before, pages.everything()) == []


def test_a5_control_a_label_printed_by_a_technician_is_seen(as_role):
    client, before = as_role("technician"), pages.everything()
    client.post(reverse("reports:label", args=[hood_of("FH-0101").pk]))
    assert pages.changed(before, pages.everything()) != []


# --- what follows from surveys ----------------------------------------------------------------------------------------


def test_findings_of_every_kind_are_there_with_owners_promises_and_one_closed():
    found = Finding.objects.with_what_holds()
    assert {one.kind for one in found} == {"fail", "restrict", "note", "label-not-held", "mended-on-visit"}
    waiting = [one for one in found if one.closed_at is None]
    assert {one.owner for one in waiting} == {"", "Building Services", "Electricians", "Glazier"}
    promised = [one.promised_on for one in waiting if one.promised_on]
    assert {on < NOW.date() for on in promised} == {True, False}
    closed = {change.survey is None for one in found for change in one.changes.filter(kind="closed")}
    assert True in closed, "one by hand"


def test_an_amended_survey_qualifications_and_a_reason_for_an_overdue_one_are_there():
    amended = Survey.objects.get(amends__isnull=False)
    assert amended.record.attested["survey"]["amends_record"] == amended.amends.record_id
    lapsed = [one.until_on is not None and one.until_on < NOW.date() for one in Qualification.objects.all()]
    assert (lapsed.count(True), lapsed.count(False)) == (1, 2)
    (explained,) = HoodEvent.objects.filter(kind="overdue-explained").select_related("hood__site")
    assert status_of(explained.hood).flag(core.OVERDUE)


@pytest.mark.parametrize("role", ["technician", "lab-manager", "auditor", "programme-manager"])
def test_list_hood_and_room_tell_of_the_same_open_findings(as_role, role):
    client, person = as_role(role), person_of(role)

    def told(address):
        return set(re.findall(r'href="/findings/(\d+)/"', client.get(address).content.decode()))

    hoods = Hood.objects.visible_to(person)
    rooms = {placement.room_id for hood in hoods if (placement := hood.placement())}
    listed = told(reverse("surveys:finding_list"))
    listed |= told(reverse("surveys:finding_list") + "?closed=retired")
    assert listed == {str(pk) for pk in Finding.objects.visible_to(person).open().values_list("pk", flat=True)}
    assert listed == set().union(*(told(reverse("surveys:hood", args=[hood.pk])) for hood in hoods))
    retired = {pk for pk, status in queries.statuses(hoods, NOW.date()).items() if status.code == "retired"}
    of_retired = {str(pk) for pk in Finding.objects.filter(hood__in=retired).open().values_list("pk", flat=True)}
    # A hood that is retired is no part of its room's list any more; what was open there is listed apart.
    assert told(reverse("surveys:finding_list")) == listed - of_retired
    assert listed - of_retired == set().union(*(told(reverse("surveys:room", args=[room])) for room in rooms))
    assert listed - of_retired
