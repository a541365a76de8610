"""The auditor downloads the year: from the strip to the page, to another year, and home with a print and every table."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from datetime import date

import openpyxl
import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from config.demo.scenario import PASSWORD
from hoods.models import Hood
from reports.core.yearly_tables import NAMES
from surveys.models import Record
from tests.browser import institute
from tests.reports.pdf import reading

pytestmark = pytest.mark.django_db(transaction=True)

BEYOND_ITS_FRAME = """[...document.querySelectorAll(".scroll")].filter(each => each.scrollWidth > each.clientWidth + 1)
  .map(each => each.getAttribute("aria-label"))"""


def download(page: Page, name: str) -> tuple[str, bytes]:
    with page.expect_download() as waited:
        page.get_by_role("link", name=name, exact=True).click()
    return waited.value.suggested_filename, waited.value.path().read_bytes()


def test_the_auditor_downloads_the_year(page: Page, demo, complaints):
    page.goto(reverse("account_login"))
    page.get_by_label("Email").fill(institute.EMAILS["auditor"])
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("link", name="Year", exact=True).click()

    today = demo.today()
    answer = page.locator("p.answer")
    expect(answer).to_contain_text(re.compile(r"\d+ of \d+ hoods in service are surveyed within their interval today"))
    for plot in page.locator("img.plot").all():  # each is drawn, and said again in words
        plot.scroll_into_view_if_needed()
        assert plot.evaluate("image => image.decode().then(() => image.naturalWidth)") == 900
        assert plot.get_attribute("alt")

    for wide in (1280, 834):  # a desk, a tablet: no table hides a column behind its frame
        page.set_viewport_size({"width": wide, "height": 1000})
        assert page.evaluate(BEYOND_ITS_FRAME) == []
    page.get_by_label("Any twelve months, from").fill("spring")
    page.get_by_role("button", name="Show").click()
    expect(page.locator("#from-e")).to_contain_text("“spring” is no month")
    complaints.clear()  # the browser says of a refused entry that it was refused
    page.get_by_label("Any twelve months, from").fill(f"{today.year - 1}-04")
    page.get_by_role("button", name="Show").click()
    expect(page.locator("h1")).to_contain_text(f"1 APR {today.year - 1}")

    last = str(today.year - 1)
    page.get_by_role("link", name=last, exact=True).click()
    expect(answer).to_contain_text(f"on 31 DEC {last}")
    told = " ".join(answer.inner_text().split())

    name, print_ = download_print(page, f"Skua Institute {last}.pdf")
    words = reading.quick_text(print_)
    within, whole = re.match(r"(\d+) of (\d+) hoods in service", told).groups()
    assert f"{within} of {whole} hoods in service were within their survey interval on 31 DEC {last}" in words
    assert Record.objects.order_by("-number").first().sha256 in words

    name, archive = download(page, f"Skua Institute {last}.zip")
    assert name == f"Skua Institute {last}.zip"
    with zipfile.ZipFile(io.BytesIO(archive)) as kept:
        assert kept.namelist() == [f"Skua Institute {last} {table}.csv" for table in NAMES]
        hoods = list(csv.DictReader(io.StringIO(kept.read(f"Skua Institute {last} hoods.csv").decode("utf-8-sig"))))
    assert {row["hood"] for row in hoods} <= set(Hood.objects.values_list("tag", flat=True))
    assert sum(row["place"] == "within-interval" for row in hoods) == int(within)

    name, book = download(page, f"Skua Institute {last}.xlsx")
    sheet = openpyxl.load_workbook(io.BytesIO(book))["about"]
    about = {row[0].value: row[1].value for row in sheet.iter_rows(min_row=2)}
    assert about["in_service"] == int(whole)
    assert about["last_day"] == date(int(last), 12, 31).isoformat()


def download_print(page: Page, name: str) -> tuple[str, bytes]:
    """A print opens in the browser: it is fetched as the link has it."""
    link = page.get_by_role("link", name=name, exact=True)
    response = page.request.get(link.get_attribute("href"))
    assert response.headers["content-type"] == "application/pdf"
    return name, response.body()
