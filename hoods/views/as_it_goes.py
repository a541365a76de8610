"""A long act told as it goes on: a page that is written line by line while the act is done. The browser shows what it has, without script."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.http import HttpRequest, StreamingHttpResponse
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe

_HERE = "<!-- told as it goes -->"  # where the page is parted


def page(request: HttpRequest, template: str, words: dict[str, Any], told: Iterator[str]) -> StreamingHttpResponse:
    """The page of a template that has `{{ told }}`: what stands before, then each piece as it comes, then the rest.

    The view has returned when the first piece is drawn, so what is done meanwhile is done in a transaction of its own,
    which the pieces open and end. Whoever leaves the page closes them where they are, and with them the transaction.
    """
    before, after = render_to_string(template, {**words, "told": mark_safe(_HERE)}, request).split(_HERE)  # noqa: S308
    response = StreamingHttpResponse(_written(before, told, after))
    response.headers["X-Accel-Buffering"] = "no"  # a server in front that gathers an answer would show it at its end
    return response


def _written(before: str, told: Iterator[str], after: str) -> Iterator[str]:
    yield before
    yield from told
    yield after
