"""What the page of a year asks for beside the words of every page: parts in percent, and what stands behind a key."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from django import template
from django.template.loader import render_to_string
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import get_language

from reports import wording
from reports.core.share import percent

register = template.Library()


@register.filter
def item(found: Mapping[Any, Any], key: Any) -> Any:
    """What a mapping has under a key."""
    return found.get(key) if found else None


@register.simple_tag
def share(part: int, whole: int) -> str:
    """A part in percent of a whole that stands beside it."""
    return percent(part, whole)


@register.simple_tag
def number(of: int) -> SafeString:
    """A count in a table: a dash for none, so that what is there is seen."""
    return format_html("{}", of) if of else SafeString('<span class="note">–</span>')


@register.filter
def became(code: str) -> str:
    """What came of a failure."""
    return str(wording.BECAME.get(code, code))


@register.filter
def place_name(code: str) -> str:
    """Where a hood stands in the year: within its interval, overdue, …"""
    return str(wording.STATES.get(code, code))


@register.filter
def group_name(code: str) -> str:
    return str(wording.GROUPS.get(code, code))


@register.filter
def figure_name(limit: Any) -> str:
    """What a limit or check of a version is called."""
    return wording.words(wording.limit_name(limit.figure, limit.check))


@register.filter
def checks_said(version: Any) -> str:
    """The checks that a version asks, each with what a 'no' costs."""
    asked = (limit for limit in version.limits if limit.check)
    return "; ".join(f"{figure_name(limit)} ({consequence_name(limit.consequence)})" for limit in asked)


@register.filter
def consequence_name(code: str) -> str:
    """What it costs where a limit is not met, in a word."""
    return wording.code("consequence", code)


@register.filter
def limit_said(limit: Any) -> str:
    """A limit in words: at least 80 ft/min."""
    return wording.limit_said(limit.least, limit.most)


@lru_cache(maxsize=64)
def _drawn(outcome: str, language: str | None) -> SafeString:
    return SafeString(render_to_string("components/outcome.html", {"outcome": outcome}).strip())


@register.simple_tag
def outcome_mark(outcome: str) -> SafeString:
    """components/outcome.html, drawn once for each outcome and language: a list says the same few over and over."""
    return _drawn(outcome, get_language())
