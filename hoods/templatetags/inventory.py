"""Codes of the inventory as words: `{{ hood.kind|in_words:"KINDS" }}`."""

from __future__ import annotations

from typing import Any

from django import template
from django.utils.functional import Promise
from django.utils.translation import gettext

from hoods import words as hood_words
from hoods.core.cover import Cover, said
from hoods.core.quantity import shown
from hoods.models.people import ROLE_NAMES

register = template.Library()


@register.filter
def in_words(code: Any, which: str) -> str | Promise:
    """The words of a code in one of the lists of hoods.words; a code without words as it is."""
    known: dict[Any, Any] = ROLE_NAMES if which == "ROLES" else getattr(hood_words, which)
    return known.get(code, code)


@register.filter
def kept_words(value: Any) -> Any:
    """A value of a list as it is read: a measure with its unit as people write it."""
    return shown(value) if isinstance(value, str) else value


@register.filter
def cover_words(cover: Cover) -> str:
    """What covers a part of an opening, and where."""
    return said(cover, gettext)
