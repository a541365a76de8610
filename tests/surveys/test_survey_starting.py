"""Starting a survey at the right hood, and who may."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from surveys.models import Draft
from tests.surveying import assign
from tests.surveys.measuring import fill_in, sign

pytestmark = pytest.mark.django_db


# --- starting, and who may ---------------------------------------------------------------------------------------------


def test_a_hood_is_found_by_tag_or_code_and_a_begun_survey_is_shown_first(begin, hood, signed_in, technician) -> None:
    surveyor = begin()
    start = reverse("surveys:start")
    answer = surveyor.client.post(start, {"name": hood.code.lower()})
    assert answer.status_code == 200
    assert surveyor.address in answer.content.decode()
    assert surveyor.client.post(start, {"name": hood.code, "another": str(hood.pk)}).status_code == 302
    refused = surveyor.client.post(start, {"name": "FH-9999"})
    assert refused.status_code == 422
    assert "FH-9999" in refused.content.decode()
    empty = surveyor.client.post(start, {"name": " "}).content.decode()
    assert "Nothing is written here: write the tag or the code that is on the hood." in empty
    assert "has 99 characters, and at most 60" in surveyor.client.post(start, {"name": "T" * 99}).content.decode()
    assert 'value="FH-0142"' in surveyor.client.get(f"{start}?hood=FH-0142").content.decode()


def test_another_survey_is_started_only_of_the_hood_that_was_shown(
    begin, make_hood, version, programme_manager
) -> None:
    surveyor = begin()
    start, shown = reverse("surveys:start"), surveyor.draft.hood
    other = make_hood(tag="FH-0203")
    assign(other, version, programme_manager)
    first = surveyor.client.post(start, {"name": other.tag})
    page = surveyor.client.post(start, {"name": shown.tag}).content.decode()
    assert f'name="another" value="{shown.pk}"' in page
    typed_over = surveyor.client.post(start, {"name": other.tag, "another": str(shown.pk)})
    assert typed_over.status_code == 200
    assert first["Location"] in typed_over.content.decode()
    assert Draft.objects.count() == 2


def test_the_start_and_the_label_are_asked_for_in_words_of_our_own(begin, instrument) -> None:
    surveyor = begin()
    start = surveyor.client.post(reverse("surveys:start"), {"name": ""}).content.decode()
    fill_in(surveyor, instrument)
    sign(surveyor)
    put_on = reverse("surveys:label_put_on", args=[surveyor.draft.pk])
    for typed in ("", "three", "0", "9" * 20):
        page = surveyor.client.post(put_on, {"issue": typed})
        assert page.status_code == 422
        assert "Type the issue number that is printed on the label" in page.content.decode()
    assert "This field is required" not in start


def test_an_address_read_again_after_a_refusal_leads_back(begin, instrument) -> None:
    surveyor = begin()
    draft = surveyor.draft
    fill_in(surveyor, instrument)
    sign(surveyor, expect=422, password="wrong")  # noqa: S106
    sent_back = surveyor.client.get(reverse("surveys:sign", args=[draft.pk]))
    assert sent_back["Location"] == reverse("surveys:review", args=[draft.pk])
    sign(surveyor)
    for view, key, to, at in (
        ("label_put_on", draft.pk, "detail", draft.pk), ("sign", draft.pk, "detail", draft.pk),
        ("post_stop", draft.hood_id, "hood", draft.hood_id),
    ):  # fmt: skip
        answer = surveyor.client.get(reverse(f"surveys:{view}", args=[key]))
        assert (answer.status_code, answer["Location"]) == (302, reverse(f"surveys:{to}", args=[at]))


def test_a_survey_sent_twice_is_started_once(begin) -> None:
    surveyor = begin()
    page = surveyor.client.get(reverse("surveys:start")).content.decode()
    given = re.search(r'name="draft" value="([^"]+)"', page)
    assert given is not None
    for _time in range(2):
        answer = surveyor.client.post(
            reverse("surveys:start"), {"name": "FH-0142", "draft": given[1], "another": str(surveyor.draft.hood_id)}
        )
        assert answer["Location"] == reverse("surveys:detail", args=[given[1]])
    assert Draft.objects.count() == 2


def test_a_hood_without_criteria_cannot_be_surveyed_and_the_page_says_why(hood, technician, signed_in) -> None:
    answer = signed_in(technician).post(reverse("surveys:start"), {"name": hood.tag})
    assert answer.status_code == 422
    assert "No criteria are chosen" in answer.content.decode()


def test_who_only_reads_sees_the_review_and_may_not_write(
    begin, auditor, lab_manager, programme_manager, signed_in
) -> None:
    surveyor = begin()
    for person in (auditor, lab_manager, programme_manager):
        client = signed_in(person)
        assert client.get(surveyor.address, follow=True).redirect_chain[-1][0].endswith("/review/")
        assert "Your password" not in client.get(surveyor.address, follow=True).content.decode()
        assert client.post(surveyor.address, surveyor.form.boxes).status_code == 403
        assert client.post(reverse("surveys:sign", args=[surveyor.draft.pk])).status_code == 403


def test_a_lab_manager_sees_no_survey_of_another_room(begin, make_hood, other_room, lab_manager, signed_in) -> None:
    surveyor = begin(make_hood(tag="FH-0300", room=other_room))
    for address in (surveyor.address, reverse("surveys:review", args=[surveyor.draft.pk])):
        assert signed_in(lab_manager).get(address).status_code == 404
