"""P9: errors are errors. Every address that takes something is sent nothing, and nonsense: what is refused is answered as refused."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from django.db import transaction
from django.http import HttpResponse
from django.test import Client

from config.access import ACCESS
from tests import pages
from tests.config.walking import ADDRESSES, OF_NO_SITE, SOMEBODY, expected
from tests.config.world import Address, World, make_world

#: What a page shows where something was refused: a sentence at a box, or a notice.
SHOWN = re.compile(r'aria-invalid="true"|class="[^"]*\b(?:errorlist|invalid-feedback|error)\b|role="alert"')
TAKING = [address for address in ADDRESSES if "POST" in ACCESS[address.view] and address.kind not in OF_NO_SITE]

NOTHING: dict[str, str] = {}
NONSENSE = dict.fromkeys(
    (
        "name", "number", "tag", "code", "email", "initials", "order", "room", "rooms", "building", "hood", "hoods", "set",
        "instrument", "opening", "use", "width", "height", "on", "from_on", "until_on", "first_day", "done_on", "due_on",
        "role", "reason", "ending", "kind", "resolution", "lowest", "highest", "password", "oldpassword", "password1",
        "password2", "login", "why", "words", "sheet", "start", "issue", "revision", "version", "do", "made_from", "form",
        "checks", "compared", "seen", "chosen", "begin", "value", "unit", "months", "site", "owner", "promised_on",
    ),
    "\x00\u202e-77,7 nonsense",
)  # fmt: skip


@pytest.fixture
def world(site, room, programme_manager, technician) -> World:
    return make_world(site, room, programme_manager, technician)


def refused_as_done(response: HttpResponse) -> bool:
    """Whether an answer shows an error and says by its status that all is well."""
    if not 200 <= response.status_code < 300 or not pages.is_page(response):
        return False
    return SHOWN.search(pages.body(response).decode()) is not None


def allowed(address: Address) -> str:
    """Somebody who may send something there."""
    return next(who for who in SOMEBODY if expected(address, who, "POST") == "let in")


@pytest.fixture
def answers(request, world):
    """What each address answers to whoever may send something there; what it did is taken back before the next."""
    clients = {}
    for who in SOMEBODY:
        clients[who] = Client()
        clients[who].force_login(request.getfixturevalue(who))

    def of(sent) -> Iterator[tuple[str, HttpResponse]]:
        for address in TAKING:
            for path in world.paths(address):
                with transaction.atomic():
                    yield path, clients[allowed(address)].post(path, sent)
                    transaction.set_rollback(True)

    return of


@pytest.mark.parametrize("sent", [NOTHING, NONSENSE], ids=["nothing", "nonsense"])
def test_p9_no_answer_says_that_all_is_well_and_shows_an_error(answers, sent):
    found = list(answers(sent))
    assert len(found) > 50
    assert [path for path, response in found if response.status_code >= 500] == []
    assert [path for path, response in found if refused_as_done(response)] == []


@pytest.mark.parametrize("view", ["account_login", "account_change_password"])
@pytest.mark.parametrize("sent", [NOTHING, NONSENSE], ids=["nothing", "nonsense"])
def test_p9_signing_in_and_changing_a_password_are_no_exceptions(technician, view, sent):
    client = Client()
    if view != "account_login":
        client.force_login(technician)
    address = next(address for address in ADDRESSES if address.view == view)
    response = client.post(f"/{address.route}", sent)
    assert response.status_code == 422
    assert SHOWN.search(response.content.decode())


def test_p9_most_addresses_refuse_nothing_with_a_sentence(answers):
    """So that the walk above is no walk past pages that show no error at all."""
    refused = [response for _path, response in answers(NOTHING) if response.status_code in (409, 422)]
    assert sum(SHOWN.search(pages.body(response).decode()) is not None for response in refused) > 20


def test_p9_control_an_error_answered_with_200_is_seen(world, programme_manager, signed_in, monkeypatch):
    import hoods.views.page as forms

    plain = forms.render
    monkeypatch.setattr(forms, "render", lambda *args, **how: plain(*args, **{**how, "status": 200}))
    assert refused_as_done(signed_in(programme_manager).post("/people/invite/", NOTHING))
