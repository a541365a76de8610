"""What a file of many certificates says: its pages, the hoods and documents that its bookmarks name."""

from __future__ import annotations

import io
import re

import pypdf

from tests.pages import body


def reader(response) -> pypdf.PdfReader:
    assert response["Content-Type"] == "application/pdf"
    return pypdf.PdfReader(io.BytesIO(body(response)))


def words(page) -> str:
    return re.sub(r"\s+", " ", page.extract_text())


def first_page(response) -> str:
    return words(reader(response).pages[0])


def names(response) -> list[str]:
    """The hoods of the file by its bookmarks."""
    return [one.title for one in reader(response).outline if not isinstance(one, list)]


def documents(response) -> list[str]:
    return [one.title for some in reader(response).outline if isinstance(some, list) for one in some]
