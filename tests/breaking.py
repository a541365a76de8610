"""The database gives up at one statement of an act after the other: what is done is done whole, or nothing of it is (D6)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.db import OperationalError, connection, transaction


class Broke(OperationalError):
    """The database gave up at this statement."""


class _At:
    def __init__(self, statement: int):
        self.left = statement

    def __call__(self, execute: Callable[..., Any], *what: Any) -> Any:
        self.left -= 1
        if self.left == 0:
            raise Broke("disk I/O error")
        return execute(*what)


def broken_at_each_statement(act: Callable[[], Any], look: Callable[[], Any]) -> int:
    """Does it with its first statement failing, its second, and so on until none fails; how many could be broken.

    After each failure `look` must find what it found before. No transaction stands around the act but its own: one of
    ours would undo what the act should. The control is an act without its transaction, `action.__wrapped__`.
    """
    before, broken = look(), 0
    while True:
        try:
            with connection.execute_wrapper(_At(broken + 1)):
                act()
        except Broke:
            if connection.in_atomic_block:
                transaction.set_rollback(False)  # so that what is left can be looked at
            assert look() == before, f"something stayed when statement {broken + 1} failed"
            broken += 1
        else:
            return broken
