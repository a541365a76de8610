"""E23: what is pasted into the grid is shown first, where it would stand; all of it is taken, or nothing."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse
from playwright.sync_api import Locator, expect

from tests.browser.tablet import Tablet
from tests.surveying import assign, make_instrument, make_version

pytestmark = pytest.mark.django_db(transaction=True)

TWENTY_FIVE = [str(80 + number) for number in range(25)]


@pytest.fixture
def tablet(hood, site, page, technician, programme_manager, sign_in) -> Tablet:
    """A grid of five columns and five rows, empty."""
    make_instrument(site, programme_manager, name="A-07")
    assign(hood, make_version(site, programme_manager, name="Laboratory hoods"), programme_manager)
    sign_in(page, technician, f"{reverse('surveys:start')}?hood={hood.tag}")
    page.get_by_role("button", name="Start the survey").click()
    page.wait_for_url(re.compile(r"/surveys/[0-9a-f-]{36}/"))
    made = Tablet(page)
    page.select_option("#instrument", index=1)
    made.draw("60", "60")
    return made


def paste(tablet: Tablet, text: str, row: int = 0, column: int = 0) -> Locator:
    """Paste a text into a point as a keyboard does; the answer is what is shown before it is taken."""
    tablet.point(row, column).evaluate(
        """(box, text) => {
            const data = new DataTransfer();
            data.setData("text/plain", text);
            const event = new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true });
            box.focus();
            if (box.dispatchEvent(event)) document.execCommand("insertText", false, text);
        }""",
        text,
    )
    return tablet.page.locator("[data-pasting]").first


def shown(tablet: Tablet, rows: int = 5, columns: int = 5) -> list[str]:
    return [tablet.point(row, column).input_value() for row in range(rows) for column in range(columns)]


def blocks(values: list[str], end: str = "\r\n") -> str:
    return end.join("\t".join(values[start : start + 5]) for start in range(0, len(values), 5))


COLUMN_OF_25 = "\r\n".join(TWENTY_FIVE) + "\r\n \r\n"
PASTED = [  # text, why
    (COLUMN_OF_25, "a column of 25 with CRLF and trailing blanks goes row by row"),
    ("\n".join(TWENTY_FIVE), "with the ends of lines of another system"),
    (blocks(TWENTY_FIVE), "a block keeps its shape"),
    (blocks(TWENTY_FIVE).replace("\r\n", "\t\r\n") + "\t\r\n", "with a blank at the end of each line"),
]


@pytest.mark.parametrize(("text", "why"), PASTED)
def test_e23_what_is_pasted_is_shown_and_stands_in_its_points_once_it_is_taken(tablet: Tablet, text: str, why: str):
    preview = paste(tablet, text)
    expect(preview).to_be_visible()
    expect(preview.get_by_role("status")).to_have_text(
        re.compile("Take these 25 readings, from row 1, column 1 to row 5, column 5?")
    )
    assert preview.locator("tbody td b").all_inner_texts() == TWENTY_FIVE, why
    assert shown(tablet) == [""] * 25, "nothing is taken yet"
    preview.get_by_role("button", name="Take them").click()
    expect(preview).to_be_hidden()
    assert shown(tablet) == TWENTY_FIVE
    tablet.keep()
    assert [cell for row in tablet.readings() for cell in row] == TWENTY_FIVE


def test_e23_nothing_is_taken_unless_it_is_confirmed(tablet: Tablet):
    preview = paste(tablet, COLUMN_OF_25)
    preview.get_by_role("button", name="Leave them").click()
    expect(preview).to_be_hidden()
    expect(tablet.point(0, 0)).to_be_focused()
    paste(tablet, COLUMN_OF_25)
    tablet.page.keyboard.press("Escape")
    expect(preview).to_be_hidden()
    tablet.keep()
    assert shown(tablet) == [""] * 25


WRONG = [  # text, from row and column, what is said, why
    ("98\n1,5\n97", (0, 0), "row 2, column 1: “1,5” is no reading.", "E1: a comma is no point"),
    ("98\n1e2\n97", (0, 0), "row 2, column 1: “1e2” is no reading.", "E2"),
    ("98\n-5\n97", (0, 0), "row 2, column 1: “-5” is no reading.", "E5: negative"),
    ("98\n97.5\n97", (0, 0), "row 2, column 1: “97.5” is no reading. Write plain digits, such as", "E9: more decimals than the instrument shows"),
    ("98\n601\n97", (0, 0), "row 2, column 1: 601 is above 600 ft/min, the highest that the instrument reads.", "E5"),
    ("98\n\n97", (0, 0), "row 2, column 1 would be left without a reading: copy no empty cell.", "E11: blank is not zero"),
    ("98\t97\t96", (0, 3), "96 would stand outside the grid", "wider than what is left of the row"),
    ("\n".join([*TWENTY_FIVE, "90"]), (0, 0), "90 would stand outside the grid", "one value too many"),
    ("Row 1\n98", (0, 0), "row 1, column 1: “Row 1” is no reading.", "a heading"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "where", "said", "why"), WRONG)
def test_e23_one_value_that_cannot_stand_refuses_all_and_says_which(tablet: Tablet, text, where, said, why):
    preview = paste(tablet, text, *where)
    expect(preview.get_by_role("listitem").first).to_contain_text(said)
    expect(preview.get_by_role("button", name="Take them")).to_be_hidden()
    expect(preview.locator("table")).to_be_hidden()
    preview.get_by_role("button", name="Leave them").click()
    assert shown(tablet) == [""] * 25, why


def test_e23_what_would_be_written_over_is_told_and_can_be_undone(tablet: Tablet):
    tablet.point(1, 1).fill("100")
    tablet.point(1, 1).press("Enter")
    preview = paste(tablet, "97\n98\n99", 0, 1)
    expect(preview).to_contain_text("would be written over: 1.")
    expect(preview.locator("tbody tr").nth(1)).to_contain_text("instead of 100")
    preview.get_by_role("button", name="Take them").click()
    assert [tablet.point(row, 1).input_value() for row in range(3)] == ["97", "98", "99"], "a column goes down"
    for _step in range(2):
        tablet.page.get_by_role("button", name=re.compile("^Undo")).click()
    assert [tablet.point(row, 1).input_value() for row in range(3)] == ["97", "100", ""]


def test_e23_a_single_value_goes_into_its_box_as_it_was_copied(tablet: Tablet):
    preview = paste(tablet, "1,5")
    expect(preview).to_be_hidden()
    expect(tablet.point(0, 0)).to_have_value("1,5")


@pytest.fixture
def covered(hood, request) -> Tablet:
    """The same grid with its two right columns behind a panel: three columns of points."""
    hood.openings.update(cover="fixed panel", cover_left="36 in")
    return request.getfixturevalue("tablet")


FIFTEEN = TWENTY_FIVE[:15]
PASSED_OVER = [
    ("\n".join(FIFTEEN), "a column longer than the grid goes row by row, over what is covered"),
    ("\n".join("\t".join(FIFTEEN[row : row + 3]) for row in range(0, 15, 3)), "a block of the free part"),
    ("\n".join("\t".join([*FIFTEEN[row : row + 3], "", "x"]) for row in range(0, 15, 3)).replace("x", " "), "with its covered cells empty"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "why"), PASSED_OVER)
def test_e23_what_is_covered_takes_no_reading_and_shifts_none(covered: Tablet, text: str, why: str):
    preview = paste(covered, text)
    expect(preview).to_be_visible()
    assert preview.locator("tbody td b").all_inner_texts() == FIFTEEN, why
    preview.get_by_role("button", name="Take them").click()
    assert shown(covered, columns=3) == FIFTEEN
    covered.keep()
    assert covered.readings() == [[*FIFTEEN[row : row + 3], None, None] for row in range(0, 15, 3)]
    expect(covered.page.locator("[data-heading]").first).to_contain_text("From all 15 points")


def test_e23_a_value_that_would_stand_behind_what_covers_refuses_all(covered: Tablet):
    preview = paste(covered, "98\t97\t96\t95")
    expect(preview.get_by_role("listitem").first).to_contain_text("95 would stand outside the grid")
    expect(preview.get_by_role("button", name="Take them")).to_be_hidden()
