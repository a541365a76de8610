"""A file that waits between being shown and being kept: found again by who sent it, for which site, and by a token."""

from __future__ import annotations

import hashlib
import secrets
from typing import NamedTuple

from django.core.cache import cache

from hoods.models import Person, Site

WAITS = 60 * 60  # [s] a file waits an hour


class Waiting(NamedTuple):
    name: str
    sha256: str
    data: bytes


def put(kind: str, person: Person, site: Site, name: str, data: bytes) -> str:
    """Lets a file wait; the token that finds it again, for this person at this site."""
    token = secrets.token_urlsafe(24)
    cache.set(_key(kind, person, site, token), (name[:120], hashlib.sha256(data).hexdigest(), data), WAITS)
    return token


def find(kind: str, person: Person, site: Site, token: str) -> Waiting | None:
    """The file as it was sent; None where none waits, or where it is not what was sent."""
    kept = cache.get(_key(kind, person, site, token))
    if not kept or hashlib.sha256(kept[2]).hexdigest() != kept[1]:
        return None
    return Waiting(*kept)


def drop(kind: str, person: Person, site: Site, token: str) -> None:
    """Lets it wait no more; for as long as it would have waited, its own sender can be told so."""
    cache.set(_key(kind, person, site, token), (), WAITS)


def is_over(kind: str, person: Person, site: Site, token: str) -> bool:
    """Whether a file waited here for this person and was kept."""
    return cache.get(_key(kind, person, site, token)) == ()


def _key(kind: str, person: Person, site: Site, token: str) -> str:
    """Where a file waits: by who sent it and for which site, so that a token alone opens nothing."""
    return f"{kind}:{person.pk}:{site.pk}:{hashlib.sha256(token.encode()).hexdigest()}"
