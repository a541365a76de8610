"""L6: a page printed by a browser has the paper's size, whatever words stand in a rule about it."""

from __future__ import annotations

import io

import pypdf
import pytest
from django.urls import reverse

from hoods.models import Room, Site

MM = 72 / 25.4
A4, LETTER = (210, 297), (215.9, 279.4)


@pytest.fixture
def printed(page, technician, sign_in, site: Site, room: Room, hood):
    """Prints the page of a room as the browser would, by its own rules about the paper."""

    def of(extra: str = "", **paper) -> pypdf.PdfReader:
        sign_in(page, technician, to=reverse("surveys:room", args=[room.pk]))
        if extra:
            page.evaluate(
                "css => { const sheet = new CSSStyleSheet(); sheet.replaceSync(css); document.adoptedStyleSheets = [sheet]; }",
                extra,
            )
        return pypdf.PdfReader(io.BytesIO(page.pdf(**paper)))

    return of


def sizes(reader: pypdf.PdfReader) -> set[tuple[float, float]]:
    return {(round(float(page.mediabox.width) / MM), round(float(page.mediabox.height) / MM)) for page in reader.pages}


def rounded(paper: tuple[float, float]) -> set[tuple[int, int]]:
    return {(round(paper[0]), round(paper[1]))}


@pytest.mark.parametrize(("paper", "size"), [("A4", A4), ("Letter", LETTER)])
def test_l6_the_print_of_a_room_is_of_the_size_of_the_paper_and_upright(printed, paper, size):
    reader = printed(format=paper, prefer_css_page_size=True)
    assert sizes(reader) == rounded(size)
    said = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    assert "FH-0142" in said
    assert "The label or sign on the hood decides." in said


def test_l6_control_a_size_with_a_word_of_orientation_is_seen(printed):
    """The trap: with such a word a browser leaves the paper that was chosen."""
    reader = printed("@page { size: A4 landscape; }", format="A4", prefer_css_page_size=True)
    assert sizes(reader) == {(297, 210)}


def test_l10_the_typefaces_of_a_print_are_in_the_file(printed):
    reader = printed(format="A4")
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():
            made = font.get_object()
            described = made["/DescendantFonts"][0].get_object() if "/DescendantFonts" in made else made
            if made["/Subtype"] != "/Type3":
                assert {"/FontFile2", "/FontFile3", "/FontFile"} & set(described["/FontDescriptor"].get_object())
