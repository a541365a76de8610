"""Lists of earlier results in tests: written as a file, sent, and kept."""

from __future__ import annotations

import io
from collections.abc import Mapping

from django.test import Client

from tests.pages import page

HEADINGS = (
    "tag", "measured on", "result", "restriction", "measured by", "judged by", "record", "notes", "opening 1 name",
    "opening 1 height", "opening 1 average", "opening 1 lowest", "opening 1 points",
)  # fmt: skip
ROW = {
    "tag": "FH-0142", "measured on": "2025-05-09", "result": "pass", "measured by": "Lena Orth", "judged by": "rules of 2021",
    "record": "folder 12, sheet 4", "opening 1 name": "working", "opening 1 height": "18 in",
    "opening 1 average": "98 fpm", "opening 1 lowest": "91 ft/min",
}  # fmt: skip


def csv(*given: Mapping[str, str], separator: str = ",", headings: tuple[str, ...] = HEADINGS) -> bytes:
    lines = [separator.join(headings)]
    lines += [separator.join(f'"{row.get(name, "")}"' for name in headings) for row in given]
    return "\r\n".join(lines).encode()


def of(**what: str) -> dict[str, str]:
    """The row of a record, with something said otherwise: `average="98"` is of its first opening."""
    first = ("name", "height", "average", "lowest", "points")
    return ROW | {f"opening 1 {name}" if name in first else name.replace("_", " "): said for name, said in what.items()}


def send(client: Client, data: bytes, name: str = "old results.csv"):
    file = io.BytesIO(data)
    file.name = name
    return client.post("/earlier/import/", {"file": file}, follow=True)


def keep(client: Client, data: bytes, name: str = "old results.csv"):
    """A list sent, looked at and kept; the page that follows."""
    shown = send(client, data, name)
    assert shown.status_code == 200, problems(shown)
    seen = page(shown).forms[-1].values["seen"][0]
    return client.post(shown.request["PATH_INFO"], {"seen": seen}, follow=True)


def problems(response) -> list[tuple[int, str, str]]:
    return [(one.row, str(one.column), str(one.said)) for one in response.context["problems"]]
