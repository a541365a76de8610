"""Blank survey forms: paper, bytes, and that what is asked stands on them whole, whatever its words."""

from dataclasses import replace

import pytest

from reports.pdf.blank import Blank, Lines, Part, Points, Say, Tick, Write, blank_forms
from tests.reports.pdf import reading

PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}
GRID = Points(5, 2, "18 in (457 mm)", "62 in (1575 mm)", "Face velocity, ft/min", "Row 1 is the upper one.")
BLANK = Blank(
    tag="FH-0144",
    code="Q8FVW2JE",
    address="HTTPS://HOODS.SKUA.EXAMPLE/H/Q8FVW2JE",
    place="North Range, room 2.14",
    site="Skua Institute",
    criteria="Laboratory hoods",
    printed="26 NOV 2026",
    parts=(
        Part(1, "The hood", (Say("Openings: working."), Say("Not cleared: measure nothing.", strong=True))),
        Part(2, "Conditions", (Write("Day measured"), Write("Temperature", "°C", "At the sash."), Write("Instrument"))),
        Part(3, "Traverse", (GRID,)),
        Part(4, "Smoke", (Tick("Is smoke at the opening drawn in?", ("Yes", "No", "Not looked at")),)),
        Part(5, "Checks", (Tick("Does the light work?", ("Yes", "No", "Does not apply", "Not looked at")), Lines("Notes", 3))),
    ),
)  # fmt: skip


@pytest.mark.parametrize("paper", PAPERS)
def test_l5_paper_scaling_title_and_language(paper):
    pdf = blank_forms([BLANK], paper)
    assert reading.size(pdf) == pytest.approx(PAPERS[paper], abs=0.1)
    assert reading.catalog(pdf)["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert reading.catalog(pdf)["/Lang"] == "en"
    assert reading.title(pdf) == "Blank survey form: FH-0144"


def test_l1_the_same_form_is_the_same_bytes_and_another_day_is_not():
    assert blank_forms([BLANK]) == blank_forms([BLANK])
    assert blank_forms([BLANK]) != blank_forms([replace(BLANK, printed="27 NOV 2026")]), "the control"
    program = "from tests.reports.pdf.test_blank import BLANK; from reports.pdf.blank import blank_forms\nsys.stdout.buffer.write(blank_forms([BLANK]))"
    assert reading.without_accelerator(program) == blank_forms([BLANK])


def test_l9_each_form_of_several_has_its_own_code_on_its_first_page():
    codes = ["Q8FVW2JE", "Q8FVW2KF", "Q8FVW2MG"]
    blanks = [replace(BLANK, tag=f"FH-{code}", code=code, address=f"HTTPS://A.EXAMPLE/H/{code}") for code in codes]
    pdf = blank_forms(blanks)
    firsts = [page for page, said in enumerate(reading.pages(pdf)) if ", page 1 of " in said]
    read = [reading.codes(reading.picture(pdf, 203, page)) for page in firsts]
    assert [text for found in read for text, _corner in found] == [blank.address for blank in blanks]
    assert [code in reading.pages(pdf)[page] for code, page in zip(codes, firsts, strict=True)] == [True] * 3


MANY = "Is it as the makers of the hood, the site and its safety office would have it, seen from the front? " * 4
HARD = {
    "plain": BLANK,
    "long": replace(
        BLANK,
        tag="CHEM-NORTH-000142-B",
        place="North Range of the Physical Chemistry Wing, room 2.14b, third bay from the door",
        site="Skua Institute for the Chemistry of Cold and Deep Waters, Safety Office",
        criteria="Laboratory hoods of the chemistry of cold and deep waters, as agreed with the safety office",
        parts=(
            Part(1, "The hood, and what stands in it, and who was there, and why it was surveyed " * 2, (Say(MANY),)),
            Part(2, "Conditions", (Write("The pressure of the room against its corridor", "in H2O", MANY), Write("Short"))),
            Part(3, "Checks", (Tick(MANY, ("Yes, with all of its panels in their tracks", "No", "Does not apply", "Not looked at") * 2),)),
        ),
    ),
    "one word": replace(
        BLANK, tag="W" * 30, place="M" * 80, site="W" * 90, criteria="M" * 200,
        parts=(Part(1, "W" * 90, (Say("W" * 300), Write("W" * 30, "m/s", "W" * 90), Tick("W" * 200, ("Yes", "No")))),),
    ),
    "odd characters": replace(
        BLANK, tag="FH\t1", place="\x00 \U0001f525 שלום <script> \u202e Žižkov Łódź",
        parts=(Part(1, "\u202e", (Say("\x00 \U0001f525"), Write("שלום", "°C"), Tick("<b>bold</b>", ("Ja", "Nein")))),),
    ),
    "many points": replace(BLANK, parts=(Part(1, "Traverse", (replace(GRID, columns=36, rows=12, place=(6, 30, 36, 54)),)),)),
    "many parts": replace(BLANK, parts=tuple(replace(BLANK.parts[index % 5], number=index + 1) for index in range(30))),
}  # fmt: skip


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("blank", HARD.values(), ids=HARD.keys())
def test_l10_e25_nothing_leaves_the_page_or_runs_into_something(blank, paper):
    pdf = blank_forms([blank], paper)
    for page in range(len(reading.pages(pdf))):
        lines = reading.inks(pdf, page)
        assert reading.outside(lines, *PAPERS[paper], margin=8) == []
        assert reading.collisions(lines) == []


def test_l10_what_goes_on_over_further_pages_loses_nothing():
    pdf = blank_forms([HARD["many parts"]])
    assert len(reading.pages(pdf)) > 3
    said = reading.text(pdf)
    for part in HARD["many parts"].parts:
        assert f"{part.number} {part.name}" in said
    assert said.count("Does the light work?") == 6
    assert said.count("Row 1 is the upper one.") == 6


# --- what stays together ----------------------------------------------------------------------------------------------

WARNING, SMOKE, MORE_SMOKE = "Tell them before you let out smoke.", "Does it clear?", "Does it stay in?"
LAST = Part(3, "Last", (Say("Put it back."), Tick("Is the alarm armed?", ("Yes", "No"))))
SIGN = Part(
    4, "Sign", (Say("I made these measurements."), Write("Name"), Write("Signature"), Write("Typed in by")), joined=True
)
FILLED = range(0, 130, 3)  # lines before it, so that the page ends at each place of what follows


def pages_after(lines: int, *parts: Part) -> list[str]:
    filler = Part(1, "Checks", tuple(Say(f"Line {number}.") for number in range(lines)))
    return reading.pages(blank_forms([replace(BLANK, parts=(filler, *parts))]))


def alone(pages: list[str]) -> bool:
    """Whether the lines to sign begin a page on which nothing stands before them."""
    (page,) = [page for page in pages if "I made these measurements." in page]
    return "alarm armed" not in page or "Signature" not in page or "Typed in by" not in page


def warned_apart(pages: list[str]) -> bool:
    return not any(WARNING in page and SMOKE in page and MORE_SMOKE in page for page in pages)


def test_lines_to_sign_never_have_a_page_of_their_own():
    free = replace(SIGN, joined=False)
    assert [lines for lines in FILLED if alone(pages_after(lines, LAST, SIGN))] == []
    assert any(alone(pages_after(lines, LAST, free)) for lines in FILLED), "the control"


def test_lines_to_sign_take_the_end_of_a_part_that_fills_its_page():
    """Where the part before has its page alone, its last lines go along, under its name."""
    for lines in FILLED:
        pages = pages_after(lines, SIGN)
        (page,) = [page for page in pages if "I made these measurements." in page]
        assert lines == 0 or f"Line {lines - 1}." in page, lines
        assert sum("Line 0." in page for page in pages) == (lines > 0)
    assert any("(continued)" in pages_after(lines, SIGN)[-1] for lines in FILLED)


def test_a_warning_stands_on_the_page_of_its_questions():
    kept = Part(
        2, "Smoke", (Say(WARNING, keep=True), Tick(SMOKE, ("Yes", "No"), keep=True), Tick(MORE_SMOKE, ("Yes", "No")))
    )
    free = replace(kept, items=tuple(replace(item, keep=False) for item in kept.items))
    assert [lines for lines in FILLED if warned_apart(pages_after(lines, kept))] == []
    assert any(warned_apart(pages_after(lines, free)) for lines in FILLED), "the control"
