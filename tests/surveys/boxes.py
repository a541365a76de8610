"""The boxes of a draft of criteria, as its page sends them."""

from __future__ import annotations

import copy
from typing import Any

from django.http import QueryDict

from surveys.core.checks import CHECKS
from surveys.forms.criteria_document import to_boxes
from surveys.forms.criteria_draft import DraftDocument
from tests.surveys.core.surveyed import asked, criteria_dict, limit

GOOD = criteria_dict(limit("average", "80 ft/min", "120 ft/min"), checks=(asked("smoke-at-opening", "fail", "each"),))


def sent(boxes: dict[str, Any]) -> QueryDict:
    """Boxes as a browser sends them: a list once for each choice, an unticked box not at all, lines with CR and LF."""
    data = QueryDict(mutable=True)
    for name, value in boxes.items():
        if isinstance(value, list):
            data.setlist(name, value)
        elif isinstance(value, bool):
            data.update({name: "on"} if value else {})
        else:
            data[name] = str(value).replace("\n", "\r\n")
    return data


def form_of(document: dict[str, Any], **changes: Any) -> DraftDocument:
    """The form of a draft as its page shows it, sent back with some boxes changed."""
    return DraftDocument(sent(to_boxes(document) | changes), made_from=document)


def there_and_back(document: dict[str, Any]) -> dict[str, Any]:
    form = form_of(document)
    assert form.is_valid(), form.errors
    return form.document


# --- there and back ---------------------------------------------------------------------------------------------------


def written(**more: Any) -> dict[str, Any]:
    return copy.deepcopy(GOOD | more)


# --- what is entered: the document that it becomes, or a sentence at its box ------------------------------------------


def row_of(code: str) -> int:
    return [check.code for check in CHECKS if not check.retired].index(code)
