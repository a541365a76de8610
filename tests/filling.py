"""The survey page filled in over HTTP without script: its form as a browser would send it, and every button."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator, Mapping
from html.parser import HTMLParser
from typing import Any

from django.test import Client
from django.urls import reverse

from hoods.models import Hood
from surveys.models import Draft, Survey
from tests.making import PASSWORD
from tests.surveys.words import said


class Form(HTMLParser):
    """The survey form of a page as a browser would send it: its boxes with what stands in them."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.boxes: dict[str, str] = {}
        self.names: list[str] = []
        self._form: str | None = None
        self._select: tuple[str, bool] | None = None
        self._area: str | None = None
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "form":
            self._form = given.get("id", "")
        if (given.get("form") or self._form) != "survey":
            return
        name = given.get("name") or ""
        if tag == "input" and name:
            self.names.append(name)
            if given.get("type") not in ("radio", "checkbox") or "checked" in given:
                self.boxes[name] = given.get("value") or ""
        elif tag == "textarea":
            self._area = name
            self.boxes[name] = ""
        elif tag == "select":
            self._select = (name, False)
            self.boxes[name] = ""
        elif tag == "option" and self._select and "selected" in given:
            self.boxes[self._select[0]] = given.get("value") or ""

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self.boxes[self._area] += data.removeprefix("\n") if not self.boxes[self._area] else data

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        if tag == "textarea":
            self._area = None
        if tag == "select":
            self._select = None


class Surveyor:
    """Somebody who fills in the page and presses its buttons, without script."""

    def __init__(self, client: Client, hood: Hood) -> None:
        self.client = client
        answer = client.post(reverse("surveys:start"), {"name": hood.tag})
        assert answer.status_code == 302, answer.content.decode()
        self.address = answer["Location"]
        self.open()

    def open(self, address: str = "") -> str:
        self.page = self.client.get(address or self.address).content.decode()
        self.form = Form(self.page)
        return self.page

    def fill(self, **boxes: str) -> None:
        for name, text in boxes.items():
            assert name in self.form.names or name in self.form.boxes, name
            self.form.boxes[name] = text

    def fill_grid(self, place: str, readings: Any) -> None:
        for r, row in enumerate(readings):
            for c, text in enumerate(row):
                self.fill(**{f"r{place}-{r}-{c}-0": text})

    def press(self, do: str, expect: int = 302) -> Any:
        answer = self.client.post(self.address, self.form.boxes | {"do": do})
        assert answer.status_code == expect, said(answer)
        if expect == 302:
            self.landed = answer["Location"]
            if re.split("[#?]", self.landed)[0] == self.address:
                self.open(self.landed.partition("#")[0])
        else:
            self.page = answer.content.decode()
            self.form = Form(self.page) if 'id="survey"' in self.page else self.form
        return answer

    def answer_doubts(self) -> None:
        """What is asked once about readings: they stay."""
        while asked := re.search(r'name="do" value="(stays:[^"]*)"', self.page):
            self.press(html.unescape(asked[1]))

    def sign(self, expect: int = 302, **more: str) -> Any:
        """Through the review to the signature, with the password."""
        self.press("review")
        self.review = self.client.get(self.landed).content.decode()
        seen = dict(re.findall(r'name="(revision|version)" value="(\d+)"', self.review))
        address = reverse("surveys:sign", args=[self.draft.pk])
        answer = self.client.post(address, seen | {"measured_myself": "on", "password": PASSWORD} | more)
        assert answer.status_code == expect, said(answer)
        return answer

    @property
    def draft(self) -> Draft:
        return Draft.objects.get(pk=self.address.split("/")[-2])

    @property
    def survey(self) -> Survey:
        return Survey.objects.get(pk=self.draft.pk)

    def content(self) -> dict[str, Any]:
        return json.loads(self.draft.revisions.order_by("-number").first().content)


AIRFLOW = {  # DEVELOPERS.md, section 6: asked as found, and once more as left
    "air-drawn-in", "monitor-works", "alarm-works", "smoke-at-opening", "smoke-inside-clears", "wash-down-works",
    "auxiliary-air-off", "auxiliary-air-on", "alarm-not-muted",
}  # fmt: skip

# --- what was entered, as boxes: written apart from the program's own, so that each is held to the other --------------


def size_boxes(document: Mapping[str, Any]) -> dict[str, str]:
    """The boxes of the openings as measured."""
    boxes = {}
    for number, opening in enumerate(document["openings"]):
        for side in ("width", "height"):
            boxes[f"o{number}_{side}"], boxes[f"o{number}_{side}_unit"] = opening[side].split(" ")
    return boxes


def measured_boxes(document: Mapping[str, Any]) -> dict[str, str]:
    """The boxes of readings, what monitors showed, and answers."""
    return dict(_measured(document)) | {"adjusted": "yes" if document["adjusted"] else "no"}


def _measured(document: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    number = {opening["name"]: str(place) for place, opening in enumerate(document["openings"])}
    letter = {"as-found": "f", "as-left": "l", None: "n"}
    for traverse in document["traverses"]:
        place = number[traverse["opening"]] + letter[traverse["state"]]
        yield f"t{place}_unit", traverse["unit"]
        if traverse.get("monitor"):
            shown, unit = traverse["monitor"].split(" ")
            yield from ((f"t{place}_monitor", shown), (f"t{place}_monitor_unit", unit))
        for r, row in enumerate(traverse["readings"]):
            for c, cell in enumerate(row):
                for k, text in enumerate(cell if isinstance(cell, list) else [cell]):
                    yield f"r{place}-{r}-{c}-{k}", text or ""
    for one in document.get("of_hood") or ():
        box = f"m{letter[one.get('state')]}-{one['figure']}"
        yield from zip((box, f"{box}_unit"), one["value"].split(" "), strict=True)
    for alarm in document.get("alarms") or ():
        for what, text in alarm.items():
            if what == "state" or text is None:
                continue
            box = f"alarm{letter[alarm['state']]}_{what}"
            digits, _space, unit = text.partition(" ")
            yield from ((box, digits), (f"{box}_unit", unit)) if unit else ((box, text),)
    for answer in document["answers"]:
        opening, state = answer.get("opening"), answer.get("state")
        if answer["check"] not in AIRFLOW:
            state = None  # asked once a visit
        elif state is None:
            state = "as-found"
        box = f"a{number[opening] if opening else 'h'}{letter[state]}-{answer['check']}"
        yield box, answer["answer"]
        if answer.get("said"):
            yield f"{box}_said", answer["said"]
