"""What was downloaded, read again, two hours after the survey."""

from __future__ import annotations

import io
import re
from datetime import timedelta

import pypdf

from tests.surveying import SURVEYED

NOW = SURVEYED + timedelta(hours=2)


def text(response) -> str:
    assert response.status_code == 200, response.content[:300]
    assert response["Content-Type"] == "application/pdf"
    pages = pypdf.PdfReader(io.BytesIO(response.content)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))
