"""Pages of a list, of at most a hundred rows each; a list of rooms is parted by its hoods, and told by them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cached_property
from typing import Any, TypeVar

from django.core.paginator import Page, Paginator

MOST = 100  # rows on a page: hoods, findings, certificates, mails, buildings

One = TypeVar("One")


class RoomPages(Paginator):
    """Whole rooms, at most a hundred hoods on a page, or one room of more; and at most a hundred rooms, if empty."""

    def __init__(self, rooms: Iterable[Any], hoods_of: Callable[[Any], int]):
        super().__init__(list(parted(rooms, hoods_of)), 1)
        self.hoods = [sum(map(hoods_of, part)) for part in self.object_list]

    @cached_property
    def count(self) -> int:
        """How many hoods stand in the rooms of all pages."""
        return sum(self.hoods)

    @cached_property
    def num_pages(self) -> int:
        return max(1, len(self.object_list))

    def page(self, number: int | str) -> RoomPage:
        number = self.validate_number(number)
        return RoomPage(self.object_list[number - 1] if self.object_list else [], number, self)


class RoomPage(Page):
    """The rooms of a page, told as the first to the last of all hoods."""

    paginator: RoomPages

    def start_index(self) -> int:
        return sum(self.paginator.hoods[: self.number - 1]) + 1

    def end_index(self) -> int:
        return sum(self.paginator.hoods[: self.number])


def parted(rooms: Iterable[One], hoods_of: Callable[[One], int]) -> Iterator[list[One]]:
    """The rooms in the order walked, parted so that a page has at most MOST hoods, or one room of more."""
    page: list[One] = []
    hoods = 0
    for room in rooms:
        more = hoods_of(room)
        if page and (hoods + more > MOST or len(page) == MOST):
            yield page
            page, hoods = [], 0
        page.append(room)
        hoods += more
    if page:
        yield page


def page_of(rows: Sequence[Any] | Any, asked: str | None, counted: int | None = None) -> Page:
    """A page of rows; the first where no number is asked for, the last where it is too high. `counted`: how many there are."""
    pages = Paginator(rows, MOST)
    if counted is not None:
        pages.count = counted
    return pages.get_page(asked)
