"""The list of rooms is parted into pages of at most a hundred hoods, by whole rooms."""

from __future__ import annotations

import pytest

from hoods.models import Room
from surveys.views.paging import RoomPages, parted

ROOMS = [Room(pk=number, number=str(number)) for number in range(1, 8)]
CASES = [
    # hoods in each room, the rooms of each page, why
    ((10, 20, 30), [[1, 2, 3]], "all on one page"),
    ((60, 40, 1), [[1, 2], [3]], "a hundred are not too many, one more is"),
    ((60, 41), [[1], [2]], "a room is never parted"),
    ((5, 250, 5), [[1], [2], [3]], "a room of more than a hundred stands alone"),
    ((0, 0, 0), [[1, 2, 3]], "empty rooms are listed"),
    ((), [], "no room, no page"),
]


@pytest.mark.parametrize(("hoods", "pages", "why"), CASES, ids=[why for *_case, why in CASES])
def test_rooms_are_parted_by_their_hoods(hoods, pages, why):
    in_room = dict(zip(ROOMS, hoods, strict=False))
    assert [[room.pk for room in page] for page in parted(in_room, in_room.__getitem__)] == pages, why


SPANS = [
    # hoods in each room, the page asked for, its rooms, the first and last of its hoods, why
    ((60, 40, 1), "1", [1, 2], (1, 100), "the first page"),
    ((60, 40, 1), "2", [3], (101, 101), "the last"),
    ((60, 40, 1), "7", [3], (101, 101), "past the end"),
    ((60, 40, 1), "x", [1, 2], (1, 100), "no number"),
    ((5, 250, 5), "2", [2], (6, 255), "a room of more than a page"),
    ((0, 0), "1", [1, 2], (1, 0), "empty rooms are shown"),
    ((), "1", [], (1, 0), "no room"),
]


@pytest.mark.parametrize(("hoods", "number", "rooms", "span", "why"), SPANS, ids=[why for *_case, why in SPANS])
def test_a_page_of_rooms_is_told_by_its_hoods(hoods, number, rooms, span, why):
    in_room = dict(zip(ROOMS, hoods, strict=False))
    page = RoomPages(in_room, in_room.__getitem__).get_page(number)
    assert [room.pk for room in page] == rooms, why
    assert (page.start_index(), page.end_index()) == span, why
    assert page.paginator.count == sum(hoods)
