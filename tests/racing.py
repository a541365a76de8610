"""Clients that act at the same moment, each a process with a connection of its own to the same database."""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Callable, Sequence
from multiprocessing.connection import Connection
from typing import Any

from django.db import connection, connections
from django.db.models import QuerySet

APART = multiprocessing.get_context("fork")
LONGEST = 240  # [s] for all clients to be done


def together(clients: Sequence[Callable[[], Any]], *, guarded: bool = True) -> list[Any]:
    """What each client gave, or the exception that it ended with; all set off at once.

    Without the guard transactions lock nothing as they begin and rows are not locked as they are read, and each client
    waits a moment after it has read: what the guard prevents, happens.
    """
    for each in connections.all():
        each.close()
        if getattr(each, "pool", None):
            each.close_pool()
    start = APART.Barrier(len(clients))
    ends, processes = [], []
    for client in clients:
        here, there = APART.Pipe(duplex=False)
        process = APART.Process(target=_run, args=(client, start, there, guarded))
        process.start()
        there.close()
        ends.append(here)
        processes.append(process)
    results = [end.recv() if end.poll(LONGEST) else TimeoutError() for end in ends]
    for process in processes:
        process.join(10)
        if process.is_alive():
            process.kill()
    return results


def _run(client: Callable[[], Any], start: Any, end: Connection, guarded: bool) -> None:
    try:
        if not guarded:
            _unguard()
        if connection.vendor == "postgresql":
            connection.settings_dict["OPTIONS"]["pool"] = False  # one client needs one connection
        connection.close()  # one from before an event loop ran here, which only a new process sees again
        connection.ensure_connection()
        start.wait(60)
        if guarded:
            end.send(client())
        else:
            with connection.execute_wrapper(_wait_after_reading):
                end.send(client())
    except Exception as error:
        end.send(RuntimeError(f"{type(error).__name__}: {error}"))
    finally:
        connections.close_all()


def _unguard() -> None:
    if connection.vendor == "sqlite":
        connection.settings_dict["OPTIONS"]["transaction_mode"] = "DEFERRED"
    QuerySet.select_for_update = lambda rows, **_how: rows  # type: ignore[method-assign, assignment]


def _wait_after_reading(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
    if "pg_advisory_xact_lock" in sql:  # the guard of the numbers of records, where the database has one of its own
        sql, params = "SELECT 1", None
    result = execute(sql, params, many, context)
    if sql.startswith("SELECT") and any(
        read in sql for read in ("surveys_revision", "surveys_transcription", "MAX(number)")
    ):
        time.sleep(1)
    return result


def dealt(cards: Sequence[Any], hands: int) -> list[list[Any]]:
    """Cards dealt out one by one."""
    return [list(cards[hand::hands]) for hand in range(hands)]
