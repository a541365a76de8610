"""What each page and each print says of a hood: its status in a word, and up to which height the sash may be opened."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable
from typing import NamedTuple

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from hoods.models import Hood
from tests.reports.pdf import reading
from tests.surveys.words import first_line, plain

HEIGHT = r"([\d.]+ (?:in|mm) \([\d.]+ (?:in|mm)\))"
FIRST_WORDS = {  # of the public page -> the status in a word
    "Met its criteria": "Met criteria",
    "Restricted": "Restricted",
    "Do not use this hood": "Do not use",
    "Out of service": "Out of service",
    "Hibernated": "Hibernated",
    "Retired": "Retired",
    "Not yet surveyed": "Not yet surveyed",
}


class Told(NamedTuple):
    """A status as printed, the sash height in both units (None where no height is told), and the flags beside it."""

    status: str
    sash: str | None
    flags: tuple[str, ...] = ()


def html_of(response: HttpResponse) -> str:
    assert response.status_code == 200, response.content.decode()[:2000]
    return response.content.decode()


def row(response: HttpResponse, tag: str) -> str | None:
    """The row of a hood in a table of hoods."""
    for each in re.findall(r"(?s)<tr[^>]*>.*?</tr>", html_of(response)):
        if f'<span class="tag">{tag}</span>' in each:
            return each
    return None


def word(markup: str) -> str:
    found = re.search(r'(?s)<span class="status[^"]*">(.*?)</span>', markup)
    assert found, "no status"
    return plain(found[1])


def flags(markup: str) -> tuple[str, ...]:
    return tuple(plain(each) for each in re.findall(r'(?s)<span class="flag[^"]*">.*?<span>(.*?)</span>', markup))


def height(words: str) -> str | None:
    """The height of the sash in words; one in a list is that of a hood that may be used."""
    found = re.search(HEIGHT, words)
    return found[1] if found else None


def in_a_list(response: HttpResponse, tag: str) -> Told | None:
    """A row of the room page or of the list of hoods; None where the hood is not in it."""
    found = row(response, tag)
    if found is None:
        return None
    cell = re.search(r'(?s)<td[^>]*class="height">(.*?)</td>', found)
    assert cell, "no height"
    words = plain(cell[1])
    assert height(words) or words == "closed", words
    return Told(word(found), height(words), flags(found))


def in_brief(response: HttpResponse, tag: str) -> Told | None:
    """A line of the page of a building; None where the hood is not in it."""
    for each in re.findall(r'(?s)<li><a [^>]*><span class="tag">.*?</li>', html_of(response)):
        if f'<span class="tag">{tag}</span>' in each:
            return Told(word(each), height(plain(each)), flags(each))
    return None


def in_what_is_due(response: HttpResponse, tag: str) -> Told | None:
    """A row of home or of the due list, which tells a height only where it is limited."""
    found = row(response, tag)
    return found and Told(word(found), height(plain(found)), flags(found))


def on_its_page(response: HttpResponse) -> Told:
    head = re.search(r'(?s)<header class="head">.*?</header>', html_of(response))
    assert head, "no head"
    return Told(word(head[0]), height(first_line(response)), flags(head[0]))


def to_the_public(response: HttpResponse) -> Told:
    page = html_of(response)
    found = re.search(r"(?s)<dt>Status today</dt><dd>(.*?)</dd>", page)
    assert found, "no status"
    first = next(words for start, words in FIRST_WORDS.items() if first_line(response).startswith(start))
    sash = re.search(r"(?s)<dt>Sash</dt><dd>(.*?)</dd>", page)
    told = Told(word(found[1]), height(plain(sash[1])) if sash else None, flags(page))
    assert (first, height(first_line(response))) == told[:2]
    return told


def on_a_label(pdf: bytes) -> Told:
    words = reading.quick_text(pdf)
    found = re.search(rf"with the sash at or below {HEIGHT}", words)
    return Told("Restricted" if "RESTRICTED" in words else "Met criteria", found[1] if found else None)


def everywhere(client: Client, hood: Hood) -> dict[str, Told | None]:
    """What every page that this person may open says of a hood; None: nothing, as a list that lacks it."""
    return everywhere_of(client, [hood])[hood.tag]


def everywhere_of(client: Client, hoods: Iterable[Hood]) -> dict[str, dict[str, Told | None]]:
    """The same of many hoods, each page opened once."""
    opened = functools.cache(lambda address: client.get(address))
    told = {}
    for hood in hoods:
        placement = hood.placements.order_by("from_on", "pk").last()
        assert placement is not None
        room, building = placement.room_id, placement.room.building_id
        told[hood.tag] = {
            "room": in_a_list(opened(reverse("surveys:room", args=[room])), hood.tag),
            "list": in_a_list(opened(reverse("surveys:hood_list")), hood.tag),
            "building": in_brief(opened(reverse("surveys:building", args=[building])), hood.tag),
            "hood": on_its_page(opened(reverse("surveys:hood", args=[hood.pk]))),
            "public": to_the_public(opened(reverse("public_hood", args=[hood.code]))),
            "home": in_what_is_due(opened(reverse("home")), hood.tag),
            "due": in_what_is_due(opened(reverse("surveys:due_list")), hood.tag),
        }
    return told
