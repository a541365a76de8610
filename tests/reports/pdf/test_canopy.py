"""The sign of a canopy: everything it says, on its paper, whatever its words."""

from dataclasses import replace

import pytest

from reports.pdf.canopy import CanopySign, canopy_sign
from tests.reports.pdf import reading

SIGN = CanopySign(
    tag="FH-0152",
    place="North Range, room 2.14",
    site="Skua Institute",
    surveyed="12 MAR 2026",
    due="12 MAR 2027",
    telephone="4100",
    code="Q8FVW2JE",
    address="HTTPS://HOODS.SKUA.EXAMPLE/H/Q8FVW2JE",
)
PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}


@pytest.mark.parametrize("paper", PAPERS)
def test_a_sign_says_everything(paper):
    said = reading.text(canopy_sign(SIGN, paper))
    for words in (
        "NOT FOR HAZARDOUS", "VAPOURS", SIGN.tag, SIGN.place, SIGN.site, "12 MAR 2026; next survey due 12 MAR 2027", SIGN.code,
        "Safety office, call 4100",
    ):  # fmt: skip
        assert words in said
    assert "due" not in reading.text(canopy_sign(replace(SIGN, due=""), paper)), "where none is known"


@pytest.mark.parametrize("paper", PAPERS)
def test_l5_paper_scaling_title_and_language(paper):
    pdf = canopy_sign(SIGN, paper)
    assert reading.size(pdf) == pytest.approx(PAPERS[paper], abs=0.1)
    assert reading.catalog(pdf)["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert reading.catalog(pdf)["/Lang"] == "en"
    assert reading.title(pdf) == "Not for hazardous vapours: canopy FH-0152"
    assert len(reading.pages(pdf)) == 1


def test_l1_the_same_sign_is_the_same_bytes_and_another_day_is_not():
    assert canopy_sign(SIGN) == canopy_sign(SIGN)
    assert canopy_sign(SIGN) != canopy_sign(replace(SIGN, surveyed="13 MAR 2026")), "the control"


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("dpi", [203, 300])
def test_l7_the_code_reads_back(paper, dpi):
    [(read, _corner)] = reading.codes(reading.picture(canopy_sign(SIGN, paper, dpi), dpi))
    assert read == SIGN.address


HARD = {
    "plain": SIGN,
    "long": replace(
        SIGN,
        tag="CHEM-NORTH-000142-B",
        place="North Range of the Physical Chemistry Wing, room 2.14b, third bay from the door",
        site="Skua Institute for the Chemistry of Cold and Deep Waters, Safety Office",
        telephone="+44 20 7946 0000 4100, or the gate by night",
    ),
    "one word": replace(SIGN, tag="W" * 30, place="M" * 80, site="W" * 90, telephone="9" * 40),
    "odd characters": replace(SIGN, place="\x00 \U0001f525 שלום <script> \u202e Žižkov Łódź", tag="FH\t1"),
}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("sign", HARD.values(), ids=HARD.keys())
def test_l10_e25_nothing_leaves_the_page_or_runs_into_something(sign, paper):
    pdf = canopy_sign(sign, paper)
    lines = reading.inks(pdf)
    assert reading.outside(lines, *PAPERS[paper], margin=10) == []
    assert reading.collisions(lines) == []
    assert len(reading.pages(pdf)) == 1
