"""The password that stands for a signature: wrong ones are counted where every process sees it, as at signing in."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.cache import caches
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from hoods.models import Person

TOO_MANY = _("There were too many tries with a wrong password: wait five minutes, then sign.")


def check_signature(person: Person, password: str, refusal: Any) -> None:
    """Refuses a wrong password with the words of its form, and any password after too many wrong ones."""
    counted, key = caches["default"], f"signature-{person.pk}"
    if counted.get(key, 0) >= settings.PASSWORD_TRIES:
        raise ValidationError(TOO_MANY, code="too_many_tries")
    if person.check_password(password):
        return
    counted.add(key, 0, settings.PASSWORD_TRIES_WITHIN)
    counted.incr(key)
    raise ValidationError(refusal, code="wrong_password")
