"""What a survey's paper is called: a certificate only where something is approved, its restriction in the title."""

from collections.abc import Mapping
from typing import Any

from surveys.core.messages import Message

_TITLES = {"pass": "title-certificate", "restrict": "title-restricted", "fail": "title-not-met"}


def title(verdict: str) -> Message:
    """The title's own message; that of a restricted certificate takes its restriction in words as `restriction`."""
    return Message(_TITLES.get(verdict, "title-no-verdict"))


def restriction_parts(restriction: Mapping[str, Any] | None) -> tuple[Message | str, ...]:
    """What a restriction says, part by part: messages, and the site's own words as they stand."""
    parts: list[Message | str] = []
    given = restriction or {}
    if given.get("largest_opening"):
        parts.append(Message("restriction-height", {"height": given["largest_opening"]}))
    barred = given.get("not_openings") or []
    if len(barred) == 1:
        named = "restriction-opening-named" if "," in barred[0] else "restriction-opening"
        parts.append(Message(named, {"opening": barred[0]}))
    elif barred:
        parts.append(Message("restriction-openings", {"openings": "’, ‘".join(barred)}))
    if given.get("use"):
        parts.append(given["use"])
    return tuple(parts)
