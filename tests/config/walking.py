"""Every address, asked by everybody in every way."""

from __future__ import annotations

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from config.access import ACCESS, ANY, PUBLIC
from hoods.models import Person
from tests.config.world import Address, World, addresses

METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
SOMEBODY = ("technician", "lab_manager", "auditor", "programme_manager", "stranger")
NOBODY = "nobody"
ADDRESSES = addresses()
OF_NO_SITE = {"password": "names a person by a link", "criteria/starters": "the same for every site"}


def expected(address: Address, who: str, method: str) -> str:
    row = ACCESS.get(address.view)
    if row is None:
        return "refused"
    roles = row.get("GET" if method == "HEAD" else method)
    if roles is None:
        return "not so"
    if roles & PUBLIC:
        return "let in"
    if who == NOBODY:
        return "sent to sign in"
    return "let in" if roles & ANY or who.replace("_", "-") in roles else "refused"


def met(response: HttpResponse) -> str:
    if response.status_code in (403, 405):
        return {403: "refused", 405: "not so"}[response.status_code]
    to_sign_in = response.headers.get("Location", "").startswith(f"{reverse('account_login')}?next=")
    return "sent to sign in" if to_sign_in else "let in"


def signed_in_as(person: Person | None) -> Client:
    client = Client(raise_request_exception=False)
    if person is not None:
        client.force_login(person)
    return client


def walk(address: Address, people: dict[str, Person | None]) -> list[tuple[str, str, str, str]]:
    """Every person and method at an address of nothing: what was met and is otherwise expected."""
    wrong = []
    for who, person in people.items():
        client = signed_in_as(person)
        for method in METHODS:
            if address.view == "account_logout":
                client = signed_in_as(person)
            found = met(client.generic(method, address.nowhere()))
            if found != expected(address, who, method):
                wrong.append((who, method, found, expected(address, who, method)))
    return wrong


MARK = "Zeppelin "


def starts(world: World, who: str) -> list[str]:
    """Home, and every address of the world that somebody may open."""
    asked = [address for address in ADDRESSES if address.kind not in OF_NO_SITE]
    return [
        "/",
        *(path for address in asked if expected(address, who, "GET") == "let in" for path in world.paths(address)),
    ]
