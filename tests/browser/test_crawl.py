"""Every link of every page, opened by everybody who may: no error, no complaint of the browser, no policy report."""

from __future__ import annotations

from collections import Counter, deque
from urllib.parse import urldefrag, urlsplit

import pytest
from django.urls import Resolver404, resolve, reverse

from hoods.models import Hood
from tests import pages
from tests.browser import institute

READERS = [*institute.EMAILS, "public"]
ALIKE = 2  # pages of one view that are drawn for those whose pages the technician's show too


def crawl(page, *starts: str, alike: int = 1000) -> dict[str, int]:
    """Every address that links of pages lead to, with the status of its answer.

    Prints and files are fetched and not shown. Of pages of one view so many are drawn; the others are fetched, searched for what
    the content policy would report, and their links followed.
    """
    waiting, answered = deque(starts), dict.fromkeys(starts, 0)
    drawn: Counter[str] = Counter()
    while waiting:
        address = waiting.popleft()
        path = urlsplit(address).path
        drawn[_view(path)] += 1
        if path.endswith((".pdf", ".svg", ".csv", ".zip", ".xlsx")):
            answered[address] = page.request.get(address).status
            continue
        if drawn[_view(path)] > alike:
            answer = page.request.get(address)
            found = pages.Page(answer.text(), answer.url)
            assert found.breaches == [], address
            links = found.links
        else:
            answer = page.goto(address)
            links = page.eval_on_selector_all("a[href]", "links => links.map(link => link.href)")
        answered[address] = answer.status
        for link in links:
            link = urldefrag(link).url
            if urlsplit(link).netloc == urlsplit(address).netloc and link not in answered:
                answered[link] = 0
                waiting.append(link)
    return answered


def _view(path: str) -> str:
    try:
        return resolve(path).view_name
    except Resolver404:
        return "nowhere"


@pytest.mark.long
@pytest.mark.parametrize("reader", READERS)
def test_every_link_of_the_demo_leads_somewhere_and_the_browser_has_no_complaint(reader, demo, page, live_server):
    starts = [f"{live_server.url}/"]
    if reader == "public":
        starts += [live_server.url + reverse("public_hood", args=[hood.code]) for hood in Hood.objects.all()]
    else:
        page.context.add_cookies([institute.cookie_of(reader, live_server.url)])
    answered = crawl(page, *starts, **({} if reader in ("technician", "public") else {"alike": ALIKE}))
    assert [f"{status} {address}" for address, status in answered.items() if status >= 400] == []
    assert len(answered) > (10 if reader == "public" else 60)


def test_control_a_link_that_leads_nowhere_and_a_complaint_are_seen(page, complaints, live_server, technician):
    page.context.add_cookies([institute.cookie_of(technician, live_server.url)])
    page.route("**/rooms/", lambda route: route.fulfill(
        content_type="text/html", body="<a href='/rooms/99/'>gone</a><script>console.error('a complaint')</script>"
    ))  # fmt: skip
    answered = crawl(page, f"{live_server.url}/rooms/")
    assert answered[f"{live_server.url}/rooms/99/"] == 404
    assert "a complaint" in complaints
    complaints.clear()
