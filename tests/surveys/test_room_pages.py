"""The list of rooms is parted into pages of at most a hundred hoods, by whole rooms."""

from __future__ import annotations

import pytest

from hoods.models import Room
from surveys.views.lists import pages_of

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
    in_room = {room.pk: [None] * many for room, many in zip(ROOMS, hoods, strict=False)}
    assert [[room.pk for room in page] for page in pages_of(ROOMS[: len(hoods)], in_room)] == pages, why
