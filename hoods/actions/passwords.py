"""Setting a password, by the holder of a one-time link (`people.one_time_path`)."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from hoods.models import Entry, Person


def set_password(*, person: Person, password: str, by: Person, at: datetime) -> None:
    """Set a password; the link is used up, and every session of the person ends."""
    with transaction.atomic():
        person.set_password(password)
        person.save(update_fields=["password"])
        Entry.objects.add(by=by, at=at, action="password-set", what=person)
