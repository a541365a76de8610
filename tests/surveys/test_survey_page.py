"""The survey page without script: from start to signature, with every button, refusal and return."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from hoods.models import Hood, Person, Site
from surveys.models import CriteriaVersion, Draft, Instrument, Survey
from tests.making import PASSWORD
from tests.surveying import GOOD, LOWER, SLOW, assign, make_instrument, make_version

pytestmark = pytest.mark.django_db


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
        assert answer.status_code == expect, answer.content.decode()
        if expect == 302:
            self.landed = answer["Location"]
            if self.landed.startswith(self.address):
                self.open(self.landed.partition("#")[0])
        else:
            self.page = answer.content.decode()
            self.form = Form(self.page) if 'id="survey"' in self.page else self.form
        return answer

    @property
    def draft(self) -> Draft:
        return Draft.objects.get(pk=self.address.split("/")[-2])

    def content(self) -> dict[str, Any]:
        import json

        return json.loads(self.draft.revisions.order_by("-number").first().content)


BEGIN = {
    "right_hood": "yes", "fit": "yes", "reason": "annual", "mode": "normal", "doors": "closed",
    "room_pressure": "into-the-room", "other_hoods": "closed", "temperature": "21.5", "pressure": "1008",
    "found_sash": "18", "found_monitor": "98", "found_somebody": "no", "found_alarm": "no",
}  # fmt: skip
LAST = {f"last_{what}": "yes" for what in ("controls", "alarm", "stop", "sash", "told")}


@pytest.fixture
def version(site: Site, programme_manager: Person) -> CriteriaVersion:
    return make_version(site, programme_manager)


@pytest.fixture
def instrument(site: Site, programme_manager: Person) -> Instrument:
    return make_instrument(site, programme_manager, name="A-07")


@pytest.fixture
def begin(hood, version, instrument, technician, programme_manager, signed_in):
    """A survey that was started, at the given hood or the usual one."""

    def begin(at: Hood = hood) -> Surveyor:
        assign(at, version, programme_manager)
        return Surveyor(signed_in(technician), at)

    return begin


def fill_in(surveyor: Surveyor, instrument: Instrument, readings: Any = GOOD) -> None:
    """Everything that the page asks, up to the review."""
    surveyor.fill(**BEGIN, instrument=str(instrument.pk), **{"ahn-sash-moves-and-stays": "yes", "ahn-light-works": "yes"})
    surveyor.fill(o0_height="18", o0_width="62")
    surveyor.press("draw:0")
    surveyor.fill_grid("0f", readings)
    surveyor.fill(t0f_monitor="99", **{"a0f-smoke-at-opening": "yes"}, **LAST)


def sign(surveyor: Surveyor, expect: int = 302, **more: str) -> Any:
    surveyor.press("review")
    page = surveyor.client.get(surveyor.landed).content.decode()
    seen = dict(re.findall(r'name="(revision|version)" value="(\d+)"', page))
    address = reverse("surveys:sign", args=[surveyor.draft.pk])
    answer = surveyor.client.post(address, seen | {"measured_myself": "on", "password": PASSWORD} | more)
    assert answer.status_code == expect, answer.content.decode()
    return answer


def test_from_start_to_signature_and_label_without_script(begin, instrument) -> None:
    surveyor = begin()
    assert "Is this the hood in front of you?" in surveyor.page
    fill_in(surveyor, instrument)
    surveyor.press("next")
    assert "Everything is answered." in surveyor.page
    assert "Provisional: pass" in surveyor.page
    sign(surveyor)
    survey = Survey.objects.get()
    assert (survey.verdict, survey.label_issue) == ("pass", 1)
    page = surveyor.open()
    assert "Certificate of survey" in page
    assert survey.record.sha256 in page
    put_on = reverse("surveys:label_put_on", args=[survey.pk])
    assert surveyor.client.post(put_on, {"issue": "2"}).status_code == 422
    assert surveyor.client.post(put_on, {"issue": "1", "old_removed": "on"}).status_code == 302
    assert "Label number 1 put on" in surveyor.open()
