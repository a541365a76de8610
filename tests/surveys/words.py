"""What a page says, as its reader reads it."""

from __future__ import annotations

import html
import re

from django.http import HttpResponse

_GAPS = re.compile(r"\s+")
_BEFORE_MARK = re.compile(r" ([.,;:])(?=\s|$)")


def said(response: HttpResponse) -> str:
    """The words of a page's body in a row, without its menu and its drawings."""
    page = re.sub(
        r"(?s)<head>.*?</head>|<nav aria-label=\"Pages\">.*?</nav>|<svg.*?</svg>", " ", response.content.decode()
    )
    return plain(page)


def first_line(response: HttpResponse) -> str:
    """The sentence that answers."""
    found = re.search(r'(?s)<p class="answer">(.*?)</p>', response.content.decode())
    assert found, "the page has no first line"
    return plain(found.group(1))


def plain(markup: str) -> str:
    apart = re.sub(
        r'</span>(?=<span)|<span class="note aside">|</?(?:p|li|td|th|dd|dt|div|tr|h1|h2|h3|br)\b[^>]*>', " ", markup
    )
    return _BEFORE_MARK.sub(r"\1", _GAPS.sub(" ", html.unescape(re.sub(r"<[^>]+>", "", apart)))).strip()
