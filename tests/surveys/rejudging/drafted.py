"""A draft of criteria, and what is seen of it."""

from __future__ import annotations

import re
from copy import deepcopy
from datetime import date
from html import unescape

from django.urls import reverse

from surveys import rejudging
from surveys.core.criteria import Criteria
from tests.surveying import CRITERIA, grid

TODAY = date(2026, 3, 30)
MIDDLING = grid(["82", "85", "84", "83", "86", "82", "84", "85", "83", "86"])  # an average of 84


def limits(least: str, lowest: str = "70 ft/min") -> list[dict]:
    average, low = deepcopy(CRITERIA["limits"])
    return [average | {"at_least": least}, low | {"at_least": lowest}]


def seen(client, draft, query="") -> str:
    response = client.get(reverse("surveys:compare_version", args=[draft.pk]) + query)
    assert response.status_code == 200
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def told(hoods, draft) -> rejudging.Preview:
    return rejudging.preview(hoods, Criteria.from_dict(draft.document), TODAY)
