"""Pages are in the language of who has signed in, where the ledger speaks it; a stranger's browser says its own."""

from __future__ import annotations

import pytest


@pytest.fixture
def german(settings, technician):
    settings.LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
    technician.language = "de"
    technician.save()
    return technician


def language(response) -> tuple[str, str]:
    page = response.content.decode()
    return page.partition('<html lang="')[2].partition('"')[0], response.headers["Content-Language"]


def test_a_page_is_in_the_readers_own_language_whatever_the_browser_says(german, signed_in, auditor):
    assert language(signed_in(german).get("/", headers={"accept-language": "en"})) == ("de", "de")
    assert language(signed_in(auditor).get("/", headers={"accept-language": "de"})) == ("en-gb", "en-gb")


def test_the_language_of_one_request_is_not_that_of_the_next(german, signed_in, client):
    signed_in(german).get("/")
    assert language(client.get("/sign-in/", headers={"accept-language": "en"})) == ("en-gb", "en-gb")


def test_a_language_that_the_ledger_does_not_speak_is_left_alone(german, signed_in):
    german.language = "tlh"
    german.save()
    assert language(signed_in(german).get("/", headers={"accept-language": "en"})) == ("en-gb", "en-gb")
