"""The demo in the tests' database, as pages in a browser need it: committed, and with a survey that is not finished."""

from __future__ import annotations

import sqlite3
from datetime import timedelta
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.test import Client
from django.utils import timezone

from config.demo import scenario, survey_made
from config.demo.build import build
from hoods.models import Hood, Person
from surveys.actions.drafts import Conflict, save_revision, start_draft
from surveys.models import Draft, Instrument

EMAILS = {someone.role: someone.email for someone in scenario.PEOPLE}


def load(kept: Path) -> None:
    """Put the demo into the tests' database: made once, then copied from the file in which it is kept."""
    if kept.exists():
        _copy(kept)
        return
    build(now=timezone.now(), say=lambda words: None, whole=False)
    unfinished_survey()
    if connection.vendor == "sqlite":
        keep(kept)


def keep(kept: Path) -> None:
    """Write what the tests' database holds into a file."""
    connection.ensure_connection()
    with sqlite3.connect(kept) as file:
        connection.connection.backup(file)
    file.close()


def _copy(kept: Path) -> None:
    connection.ensure_connection()
    with sqlite3.connect(kept) as file:
        file.backup(connection.connection)
    file.close()


def unfinished_survey() -> Draft:
    """A survey with two points to come, and an entry that came from another page and is kept beside it."""
    at = timezone.now() - timedelta(hours=1)
    plan = next(plan for plan in scenario.HOODS if plan.tag == "FH-0109")
    by = Person.objects.get(email=EMAILS["technician"])
    draft = start_draft(hood=Hood.objects.get(tag=plan.tag), by=by, at=at)
    visit = scenario.Visit(0, 92, lower=84, missing=2, reason="initial")
    content = survey_made.document(plan, visit, draft, instrument=Instrument.objects.get(name="A-07"), begun=at)
    kept = [content | {"notes": notes} for notes in (None, "The lamp flickers.", "From another page.")]
    for number in range(2):
        save_revision(draft=draft, content=kept[number], form_id="first", made_from=number, by=by, at=at)
    try:
        save_revision(draft=draft, content=kept[2], form_id="second", made_from=1, by=by, at=at)
    except Conflict:
        return draft
    raise AssertionError("nothing was set aside")


def cookie_of(person: Person | str, url: str) -> dict[str, str]:
    """The cookie of somebody who has signed in; by role, of somebody in the demo."""
    if isinstance(person, str):
        person = Person.objects.get(email=EMAILS[person])
    client = Client()
    client.force_login(person)
    name = settings.SESSION_COOKIE_NAME
    return {"name": name, "value": client.cookies[name].value, "url": url}
