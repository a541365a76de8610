"""A5, A15: what is read changes nothing, and no page holds code of its own."""

from __future__ import annotations

import pytest
from django.urls import reverse

from tests import pages
from tests.config.test_headers import why_not_headers
from tests.config.walking import ADDRESSES, METHODS, OF_NO_SITE, SOMEBODY, expected, signed_in_as, starts

# A5: an auditor reads


@pytest.mark.long
def test_a5_whatever_an_auditor_opens_or_sends_nothing_changes(auditor, ours, signed_in):
    client = signed_in(auditor)
    before = pages.everything()
    opened = [address for address, response in pages.crawl(client, *starts(ours, "auditor"))]
    assert len(opened) > 20
    for address in ADDRESSES:
        if address.kind not in OF_NO_SITE and not address.view.startswith(("account_", "choose_")):
            for path in ours.paths(address):
                for method in METHODS:
                    client.generic(method, path)
    assert pages.changed(before, pages.everything()) == []


def test_a5_control_a_technician_who_posts_a_stop_changes_something(technician, ours, signed_in):
    before = pages.everything()
    hood = ours.things["hoods"]
    signed_in(technician).post(
        reverse("surveys:post_stop", args=[hood.pk]), {"stop-reason": "no-flow", "stop-sure": "on"}
    )
    assert {"surveys_stop", "hoods_entry"} <= set(pages.changed(before, pages.everything()))


def test_a5_pages_that_are_read_change_nothing_for_anybody(programme_manager, technician, ours, signed_in):
    for who, person in {"programme_manager": programme_manager, "technician": technician}.items():
        client = signed_in(person)
        before = pages.everything()
        for address in ADDRESSES:
            if expected(address, who, "HEAD") == "let in" and address.kind not in OF_NO_SITE:
                for path in ours.paths(address):
                    client.head(path)
        assert pages.changed(before, pages.everything()) == [], who


# A15: no page holds a script or a style of its own


@pytest.mark.parametrize("who", SOMEBODY)
def test_a15_no_page_holds_code_of_its_own(request, ours, signed_in, who: str):
    client = signed_in(request.getfixturevalue(who))
    for address, response in pages.crawl(client, *starts(ours, who)):
        assert response.status_code in (200, 302, 403, 404), address
        if pages.is_page(response):
            assert pages.page(response).breaches == [], address


def test_a15_every_answer_of_a_walk_carries_the_headers_prints_too(technician, ours):
    kinds = set()
    for address, response in pages.crawl(signed_in_as(technician), *starts(ours, "technician"), secure=True):
        assert why_not_headers(response) == [], address
        kinds.add(response.headers.get("Content-Type", "").split(";")[0])
    assert {"text/html", "application/pdf"} <= kinds


OWN_CODE: list[str] = [
    "<p style='color: red'>", "<style>p {}</style>", "<script>1</script>", "<p onclick='1'>", "<a href='javascript:1'>",
    "<img src='data:image/png;base64,'>",
]  # fmt: skip


@pytest.mark.parametrize("html", OWN_CODE)
def test_a15_control_code_in_a_page_is_seen(html: str):
    assert len(pages.Page(html, "/").breaches) == 1
