"""The steps of a survey in a browser, from the hood to the label."""

from __future__ import annotations

import io
import re

import pypdf
import pypdfium2
import zxingcpp
from django.urls import reverse
from playwright.sync_api import Page, expect

from hoods.models import Hood
from surveys.models import Draft
from tests.making import PASSWORD

STARTER = "average-in-three-bands"
SLOW = ["64", "66", "62", "65", "67", "63", "61", "66", "68", "60"]
GOOD = ["98", "101", "95", "97", "100", "103"]
CHOSEN = {
    "reason": "initial", "mode": "normal", "doors": "closed", "room_pressure": "into-the-room", "other_hoods": "none",
}  # fmt: skip


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def answer(page: Page, name: str, value: str = "yes") -> None:
    page.locator(f'label:has(input[name="{name}"][value="{value}"])').click()


def answer_line(page: Page) -> str:
    return " ".join(page.locator("p.answer").inner_text().split())


def register_hood(page: Page, tag: str, room) -> Hood:
    """A hood with a working opening and a lower one, entered by the programme manager."""
    page.goto(reverse("hoods:add_hood"))
    page.fill("#id_tag", tag)
    page.select_option("#id_room", str(room.pk))
    page.fill("#id_position", "at the window")
    for box, value in {
        "kind": "general",
        "control": "constant-volume",
        "sash": "vertical",
        "monitor": "velocity",
    }.items():
        page.select_option(f"#id_{box}", value)
    page.fill("#id_width", "62 in")
    page.fill("#id_height", "18 in")
    press(page, "Register the hood")
    hood = Hood.objects.get(tag=tag)
    page.goto(reverse("hoods:add_opening", args=[hood.pk]))
    page.fill("#id_name", "lower")
    page.select_option("#id_use", "lower")
    page.fill("#id_width", "62 in")
    page.fill("#id_height", "12 in")
    page.uncheck("#id_tested_every_survey")
    page.locator("main form button[type=submit]").click()
    expect(page.locator("main")).to_contain_text("12 in")
    return hood


def adopt_criteria(page: Page, hood: Hood) -> None:
    """A starter set read, settled, adopted with password and reason, and assigned to the hood."""
    page.goto(reverse("surveys:starter", args=[STARTER]))
    page.fill("#id_name", "General hoods")
    press(page, "Make a draft from this set")
    page.get_by_role("link", name="Decide what each check costs").click()
    expect(page.get_by_role("button", name="Keep these decisions")).to_be_visible()
    for undecided in page.locator("select").filter(has=page.locator('option[value="undecided"][selected]')).all():
        undecided.select_option("note")
    press(page, "Keep these decisions")
    page.get_by_role("link", name="Adopt it").click()
    page.locator("#id_why").fill("Compared with the rules of the safety committee.")
    page.check("#id_compared")
    page.fill("#id_password", PASSWORD)
    press(page, "Sign and adopt")
    expect(page.locator("main")).to_contain_text("is adopted, word for word, as a record")
    page.goto(reverse("surveys:assign_criteria"))
    page.select_option("#id_set", label="General hoods")
    page.get_by_label(hood.tag).check()
    page.fill("#id_why", "The set for general use.")
    press(page, "Assign the criteria")
    expect(page.locator("main")).to_contain_text("judged by General hoods")


def add_anemometer(page: Page, today) -> None:
    page.goto(reverse("surveys:add_instrument"))
    for box, text in {
        "name": "A-07",
        "serial": "40-1187",
        "resolution": "1 ft/min",
        "lowest": "20 ft/min",
        "highest": "600 ft/min",
    }.items():
        page.fill(f"#id_{box}", text)
    page.locator("main form button[type=submit]").click()
    expect(page.locator("main")).to_contain_text("A-07")
    page.get_by_role("link", name=re.compile("calibration", re.IGNORECASE)).first.click()
    page.fill("#id_certificate", "K-3544")
    page.fill("#id_done_on", today.replace(day=1).isoformat())
    page.fill("#id_due_on", f"{today.year + 1}-12-31")
    page.select_option("#id_in_tolerance", "yes")
    page.locator("main form button[type=submit]").click()
    expect(page.locator("main")).to_contain_text("K-3544")


def begin(page: Page, tag: str) -> Draft:
    page.goto(reverse("surveys:start"))
    page.fill("#id_name", tag)
    press(page, "Start the survey")
    expect(page.locator("h1")).to_contain_text(f"Survey of {tag.upper()}")
    return Draft.objects.get(pk=page.url.split("/surveys/")[1][:36])


def draw(page: Page, index: int, height: str, width: str) -> None:
    page.fill(f"#o{index}_height", height)
    page.fill(f"#o{index}_width", width)
    page.locator(f"#o{index}_width").press("Enter")
    expect(page.locator(f"#r{index}f-0-0-0")).to_be_focused()


def type_in(page: Page, readings: list[str]) -> None:
    """Digits and Enter alone, from the box that has the focus on."""
    for reading in readings:
        page.keyboard.type(reading)
        page.keyboard.press("Enter")


def first_part(page: Page) -> None:
    for name, value in {
        "right_hood": "yes",
        "fit": "yes",
        "found_somebody": "no",
        "found_alarm": "no",
        "ahf-alarm-not-muted": "yes",
    }.items():
        answer(page, name, value)
    for name, value in CHOSEN.items():
        page.select_option(f"#{name}", value)
    page.select_option("#instrument", index=1)
    stood = {"found_open": "frame at 12 in, panels closed"} if page.locator("#found_open").count() else {"found_sash": "18"}
    for name, text in {"temperature": "21.5", "pressure": "1008", **stood, "found_monitor": "66"}.items():
        page.fill(f"#{name}", text)


def answer_the_rest(page: Page) -> None:
    """Every check that waits, as it should be; nothing was adjusted."""
    answer(page, "adjusted", "no")
    names = page.eval_on_selector_all(
        "fieldset.check input[type=radio]",
        "all => [...new Set(all.map(one => one.name))].filter(name => !document.querySelector(`[name='${name}']:checked`))",
    )
    for name in names:
        if page.locator(f'label:has(input[name="{name}"])').first.is_visible():
            answer(page, name)
    forced = page.locator("#alarmf_forced")
    if forced.is_visible():
        ways = forced.locator("option").evaluate_all("all => all.map(one => one.value)")
        forced.select_option("sash-raised" if "sash-raised" in ways else "sensor-covered")


def sign(page: Page, *ticks: str) -> None:
    for tick in ticks:
        page.get_by_label(re.compile(tick)).check()
    page.get_by_label("I made these measurements").check()
    page.fill("#id_password", PASSWORD)
    press(page, "Sign and close")
    expect(page.locator("main")).to_contain_text("Signed and kept as record")


def printed(page: Page, link: str) -> bytes:
    """The print behind a link, as it is saved."""
    address = page.get_by_role("link", name=link).get_attribute("href")
    answer = page.request.get(address)
    assert (answer.status, answer.headers["content-type"]) == (200, "application/pdf")
    return answer.body()


def label_printed(page: Page) -> bytes:
    """The label that the button prints: it is asked for by a form, since each copy is recorded."""
    form = page.locator("form#print-label")
    expect(page.get_by_role("button", name="Label (PDF)")).to_be_visible()
    answer = page.request.post(
        form.get_attribute("action"),
        form={"csrfmiddlewaretoken": form.locator("[name=csrfmiddlewaretoken]").input_value()},
        headers={"Referer": page.url},
    )
    assert (answer.status, answer.headers["content-type"]) == (200, "application/pdf")
    return answer.body()


def words_of(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())


def scanned(pdf: bytes) -> str:
    """What the square code says, read from the print as a printer of 300 dots per inch would set it."""
    picture = pypdfium2.PdfDocument(pdf)[0].render(scale=300 / 72, grayscale=True).to_numpy().squeeze()
    (code,) = zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)
    return code.text
