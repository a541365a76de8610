"""A15: every answer carries the headers, whatever it is; no page holds a script or a style of its own."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.conf import settings as django_settings
from django.db import DatabaseError, connection
from django.http import HttpResponse
from django.test import Client, RequestFactory
from django.urls import reverse

from config import middleware

POLICY = {
    "default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self'", "font-src 'self'",
    "connect-src 'self'", "manifest-src 'self'", "form-action 'self'", "frame-ancestors 'none'", "base-uri 'none'",
    "object-src 'none'",
}  # fmt: skip
CARRIED = {
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "same-origin",
    "Strict-Transport-Security": "max-age=31536000",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}


def why_not_headers(response: HttpResponse) -> list[str]:
    """What an answer over https lacks or says otherwise."""
    said = {part.strip() for part in response.headers.get("Content-Security-Policy", "").split(";") if part.strip()}
    wrong = [name for name, value in CARRIED.items() if response.headers.get(name) != value]
    if said != POLICY:
        wrong.append("Content-Security-Policy")
    if "geolocation=()" not in response.headers.get("Permissions-Policy", ""):
        wrong.append("Permissions-Policy")
    return wrong


def file(client: Client, path: str) -> HttpResponse:
    response = client.get(path, secure=True)
    b"".join(response)  # read to its end, so that it is closed
    response.close()
    return response


def broken_database(execute, sql, params, many, context):
    raise DatabaseError("the disk is gone")


def error(client: Client) -> HttpResponse:
    client.raise_request_exception = False
    client.cookies["sessionid"] = "somebody"
    with connection.execute_wrapper(broken_database):
        return client.get(reverse("account_logout"), secure=True)


ANSWERS: dict[str, tuple[int, Callable[[Client], HttpResponse]]] = {
    "page": (200, lambda client: client.get(reverse("account_login"), secure=True)),
    "redirect": (302, lambda client: client.get(reverse("account_change_password"), secure=True)),
    "not found": (404, lambda client: client.get("/no-such-page", secure=True)),
    "wrong method": (405, lambda client: client.put(reverse("account_login"), secure=True)),
    "wrong host": (400, lambda client: client.get(reverse("account_login"), secure=True, headers={"host": "evil.example"})),
    "not allowed": (403, lambda client: Client(enforce_csrf_checks=True).post(reverse("account_login"), secure=True)),
    "error": (500, error),
    "style sheet": (200, lambda client: file(client, "/static/css/ledger.css")),
    "no such file": (404, lambda client: client.get("/static/css/absent.css", secure=True)),
}  # fmt: skip


@pytest.mark.parametrize("answer", ANSWERS)
def test_a15_every_answer_carries_the_headers(db, answer: str):
    status, ask = ANSWERS[answer]
    response = ask(Client())
    assert (response.status_code, why_not_headers(response)) == (status, [])


def test_a15_no_promise_of_https_is_made_over_http(db):
    assert "Strict-Transport-Security" not in Client().get(reverse("account_login")).headers


def test_a15_control_without_the_middleware_they_are_missing(db, settings):
    settings.MIDDLEWARE = [
        name for name in settings.MIDDLEWARE if not name.endswith(("SecurityHeaders", "CSPMiddleware"))
    ]
    missing = why_not_headers(Client().get("/no-such-page", secure=True))
    assert {"Content-Security-Policy", "Cross-Origin-Resource-Policy", "Permissions-Policy"} <= set(missing)


def test_an_answer_to_head_has_the_length_of_the_page_and_no_body(db):
    """As the server is handed it: the client of the tests takes a body away by itself."""
    answers = {}
    for method in ("get", "head"):
        request = getattr(RequestFactory(), method)("/")
        answers[method] = middleware.SecurityHeaders(lambda _request: HttpResponse("a page"))(request)
    assert (answers["get"].content, answers["head"].content) == (b"a page", b"")
    assert answers["head"]["Content-Length"] == "6"


def test_headers_come_first_of_all():
    assert django_settings.MIDDLEWARE[0] == f"{middleware.__name__}.SecurityHeaders"
