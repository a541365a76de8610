"""Lists of hoods in tests: written as a file, sent, and kept."""

from __future__ import annotations

import csv
import io
from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from openpyxl import Workbook

from tests import pages

NEW = {
    "tag": "FH-0007", "building": "South Range", "room": "031", "room name": "Digestion", "floor": "0",
    "department": "Chemistry", "installed on": "2021-03-04", "exhaust": "EF-9", "position": "left of the door",
    "order in the room": "2", "kind": "general", "control": "constant-volume", "sash": "vertical", "powered": "no",
    "glass": "laminated", "maker": "Alder, sons; co", "model": "1E5", "serial": "00123", "interior width": "1500 mm",
    "work surface height": "36 in", "monitor": "velocity", "set point": "0.5 m/s", "alarm point": "80 fpm",
    "uses forbidden": 'No "digestion",\nnever.', "opening 1 name": "working", "opening 1 use": "working",
    "opening 1 width": "62 in", "opening 1 height": "457 mm", "opening 1 way": "", "opening 1 every survey": "yes",
    "opening 2 name": "lower", "opening 2 use": "lower", "opening 2 width": "62 in", "opening 2 height": "12 in",
    "opening 2 way": "", "opening 2 every survey": "no",
}  # fmt: skip


def comma(*rows: dict[str, str], end: str = "\r\n", separator: str = ",") -> bytes:
    """A CSV file with the columns of the first row."""
    file = io.StringIO(newline="")
    writer = csv.DictWriter(file, list(rows[0]), lineterminator=end, delimiter=separator, restval="")
    writer.writeheader()
    writer.writerows(rows)
    return file.getvalue().encode()


def book(*rows: dict[str, object]) -> bytes:
    made = Workbook()
    sheet = made.active
    sheet.append(list(rows[0]))
    for row in rows:
        sheet.append(list(row.values()))
    file = BytesIO()
    made.save(file)
    return file.getvalue()


def send(client, data: bytes, name: str = "hoods.csv"):
    return client.post(reverse("hoods:import_list"), {"file": SimpleUploadedFile(name, data)})


def shown(client, data: bytes, name: str = "hoods.csv"):
    """The page that shows what the file would do, and its address."""
    response = send(client, data, name)
    assert response.status_code == 302, problems(response)
    return client.get(response.url), response.url


def keep(client, data: bytes, name: str = "hoods.csv"):
    page, address = shown(client, data, name)
    return client.post(address, {"seen": page.context["plan"].digest})


def problems(response) -> list[tuple[int, str, str]]:
    assert response.status_code == 422
    return [(one.row, one.column, str(one.said)) for one in response.context["problems"]]


def rows() -> dict[str, list[tuple]]:
    return pages.everything()
