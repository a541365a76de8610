"""Passwords: a link that works once is handed over, and its holder sets one."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.tokens import default_token_generator
from django.db import transaction
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from hoods.models import Entry, Person


def one_time_link(*, person: Person, by: Person, at: datetime) -> str:
    """The path at which a person sets a password: it works once, for three days, and ends when they sign in."""
    named = urlsafe_base64_encode(force_bytes(person.pk))
    with transaction.atomic():
        Entry.objects.add(by=by, at=at, action="password-link-made", what=person)
        return reverse("set_password", args=[named, default_token_generator.make_token(person)])


def set_password(*, person: Person, password: str, by: Person, at: datetime) -> None:
    """Set a password; every session of the person ends."""
    with transaction.atomic():
        person.set_password(password)
        person.save(update_fields=["password"])
        Entry.objects.add(by=by, at=at, action="password-set", what=person)
