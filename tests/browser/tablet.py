"""A tablet on which a survey is entered."""

from __future__ import annotations

import json
import re
from typing import Any

from playwright.sync_api import Page, expect

from surveys.models import Draft, Revision

KEPT = re.compile(r"Kept at \d\d:\d\d")
TEN = ["98", "101", "95", "97", "100", "103", "99", "104", "96", "102"]


class Tablet:
    """A tablet with the survey of one hood open on it."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.kept = page.locator("[data-kept-words]")

    def draw(self, height: str = "18", width: str = "62", index: int = 0) -> None:
        self.page.fill(f"#o{index}_height", height)
        self.page.fill(f"#o{index}_width", width)
        self.page.locator(f"#o{index}_width").press("Enter")
        expect(self.page.locator(f"#r{index}f-0-0-0")).to_be_focused()

    def point(self, row: int, column: int, place: str = "0f", repeat: int = 0) -> Any:
        return self.page.locator(f"#r{place}-{row}-{column}-{repeat}")

    def type_in(self, values: list[str]) -> None:
        for value in values:
            self.page.keyboard.type(value)
            self.page.keyboard.press("Enter")

    def keep(self) -> None:
        with self.page.expect_response(lambda answer: answer.request.method == "POST"):
            self.page.get_by_role("button", name="Keep", exact=True).click()
        expect(self.kept).to_have_text(KEPT)

    @property
    def draft(self) -> Draft:
        return Draft.objects.get(pk=re.search(r"/surveys/([0-9a-f-]{36})/", self.page.url)[1])  # type: ignore[index]

    def content(self) -> dict[str, Any]:
        return json.loads(Revision.objects.filter(draft=self.draft).order_by("-number").first().content)

    def readings(self) -> list[list[str | None]]:
        rows = self.content()["traverses"][0]["readings"]
        return [[cell["value"] if isinstance(cell, dict) else cell for cell in row] for row in rows]

    def answer(self, name: str, value: str) -> None:
        self.page.locator(f'label:has(input[name="{name}"][value="{value}"])').click()

    def fill_in(self) -> None:
        """Everything but opening, traverse, monitor and smoke."""
        for name, value in (
            ("right_hood", "yes"),
            ("fit", "yes"),
            ("found_somebody", "no"),
            ("found_alarm", "no"),
            ("ahf-alarm-not-muted", "yes"),
        ):
            self.answer(name, value)
        for name, chosen in (("reason", "annual"), ("mode", "normal"), ("doors", "closed"), ("room_pressure", "into-the-room"), ("other_hoods", "closed")):  # fmt: skip
            self.page.select_option(f"#{name}", chosen)
        self.page.select_option("#instrument", index=1)
        for name, text in (
            ("temperature", "21.5"),
            ("pressure", "1008"),
            ("found_sash", "18"),
            ("found_monitor", "98"),
        ):
            self.page.fill(f"#{name}", text)
        for name in ("ahn-sash-moves-and-stays", "ahn-light-works"):
            self.answer(name, "yes")
        for what in ("controls", "alarm", "stop", "sash", "told"):
            self.answer(f"last_{what}", "yes")
        self.answer("adjusted", "no")
