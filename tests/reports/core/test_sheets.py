"""Where labels stand on paper, and modules of whole printer dots."""

from dataclasses import replace
from fractions import Fraction

import pytest

from reports.core.sheets import (
    A4,
    LETTER,
    QUIET_ZONE,
    SHEETS,
    SINGLE,
    DoesNotFit,
    Place,
    Sheet,
    module_dots,
    on_dot_mm,
    qr_module_mm,
    qr_side_mm,
)

BOXES = [
    # sheet, index, corner [mm],     why
    (SINGLE, 0, (0, 0), "the whole paper is the label"),
    (A4, 0, (5, 23.5), "the first, after the margins"),
    (A4, 1, (105, 23.5), "along the row first"),
    (A4, 2, (5, 73.5), "then the next row"),
    (A4, 9, (105, 223.5), "the last"),
    (LETTER, 0, (7.95, 14.7), "the first on letter paper"),
    (LETTER, 9, (107.95, 214.7), "the last on letter paper"),
]


@pytest.mark.parametrize(("sheet", "index", "corner", "why"), BOXES)
def test_the_corner_of_each_label(sheet, index, corner, why):
    assert sheet.box(index) == pytest.approx(corner), why


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_labels_lie_on_the_paper_and_not_over_one_another(sheet):
    boxes = [sheet.box(index) for index in range(sheet.per_page)]
    for x, y in boxes:
        assert 0 <= x <= sheet.page_width - sheet.label_width + 1e-9
        assert 0 <= y <= sheet.page_height - sheet.label_height + 1e-9
    for one in range(len(boxes)):
        for other in range(one):
            apart_x = abs(boxes[one][0] - boxes[other][0]) >= sheet.label_width - 1e-9
            apart_y = abs(boxes[one][1] - boxes[other][1]) >= sheet.label_height - 1e-9
            assert apart_x or apart_y


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_margins_are_the_same_on_both_sides(sheet):
    last_x, last_y = sheet.box(sheet.per_page - 1)
    assert sheet.page_width - last_x - sheet.label_width == pytest.approx(sheet.left)
    assert sheet.page_height - last_y - sheet.label_height == pytest.approx(sheet.top)


MISFITS = [
    # change, why
    ({"columns": 3}, "three labels are wider than the paper"),
    ({"rows": 6}, "six are higher"),
    ({"left": 10.01}, "pushed over the right edge"),
    ({"top": 47.01}, "pushed over the lower edge"),
    ({"gap_x": 5.01}, "a gap pushes the second column over the edge"),
    ({"gap_x": -1}, "labels would overlap"),
    ({"left": -0.1}, "over the left edge"),
    ({"columns": 0}, "no label at all"),
    ({"label_width": 0}, "a label without a size"),
    ({"page_height": -297}, "paper without a size"),
]


@pytest.mark.parametrize(("change", "why"), MISFITS)
def test_a_sheet_whose_labels_do_not_fit_does_not_exist(change, why):
    with pytest.raises(DoesNotFit):
        replace(A4, **change)


def test_a_sheet_that_just_fits_exists():
    assert replace(A4, left=10, top=47).box(9) == (110, 247)
    assert Sheet("whole", 100, 50).per_page == 1


def test_gaps_stand_between_labels_and_not_around_them():
    sheet = Sheet("gaps", page_width=209, page_height=160, columns=2, rows=3, left=2, top=1, gap_x=7, gap_y=4)
    assert [sheet.box(index) for index in range(6)] == [(2, 1), (109, 1), (2, 55), (109, 55), (2, 109), (109, 109)]
    for change in ({"page_width": 208.9}, {"page_height": 158.9}):
        with pytest.raises(DoesNotFit):
            replace(sheet, **change)


PLACES = [
    # labels, start, places (page, index), why
    (0, 1, [], "nothing to print"),
    (1, 1, [(0, 0)], "the first place"),
    (1, 10, [(0, 9)], "the last place left on a begun sheet"),
    (2, 10, [(0, 9), (1, 0)], "over to the next sheet, which is whole"),
    (3, 4, [(0, 3), (0, 4), (0, 5)], "the first three are used up"),
]


@pytest.mark.parametrize(("count", "start", "expected", "why"), PLACES)
def test_l9_labels_begin_at_the_chosen_place(count, start, expected, why):
    assert list(A4.places(count, start)) == [Place(page, *A4.box(index)) for page, index in expected], why


@pytest.mark.parametrize("start", [0, 11, -1])
def test_l9_a_place_that_the_sheet_has_not_is_refused(start):
    with pytest.raises(IndexError):
        list(A4.places(1, start))
    with pytest.raises(IndexError):
        A4.box(10)


def test_l9_thirty_labels_fill_three_sheets_without_a_shift():
    places = list(A4.places(30))
    assert [place.page for place in places] == [0] * 10 + [1] * 10 + [2] * 10
    assert [(place.x, place.y) for place in places] == [A4.box(index) for index in range(10)] * 3


DOTS = [
    # dpi, at least [mm], dots, module [mm],           why
    (203, 0.5, 4, 0.5005, "3.996 dots: the next whole number"),
    (300, 0.5, 6, 0.508, "5.906 dots"),
    (300, 0.508, 6, 0.508, "just six: no seventh for a rounding error"),
    (300, 0.509, 7, 0.59267, "a little more than six"),
    (600, 0.5, 12, 0.508, "a finer printer"),
    (203, 0.8, 7, 0.87586, "read at arm's length"),
    (25.4, 0.5, 1, 1.0, "never less than a dot"),
]


@pytest.mark.parametrize(("dpi", "at_least", "dots", "module", "why"), DOTS)
def test_l7_a_module_is_whole_printer_dots(dpi, at_least, dots, module, why):
    dpi = Fraction(str(dpi))
    assert module_dots(dpi, at_least) == dots, why
    assert qr_module_mm(dpi, at_least) == pytest.approx(module, abs=1e-4)
    assert qr_module_mm(dpi, at_least) >= at_least - 1e-12


@pytest.mark.parametrize("dpi", [203, 300])
def test_l7_the_quiet_zone_is_four_modules_and_an_address_of_ours_fits_on_the_label(dpi):
    """A version 3 code has 29 modules (ISO/IEC 18004), a version 2 code 25."""
    assert QUIET_ZONE == 4
    assert qr_side_mm(25, dpi) == pytest.approx(33 * qr_module_mm(dpi))
    assert qr_side_mm(29, dpi) < 20


@pytest.mark.parametrize("dpi", [203, 300])
def test_l7_a_code_begins_on_a_dot(dpi):
    for length in (0.0, 0.06, 3.0, 79.9, 100.0):
        moved = on_dot_mm(length, dpi)
        assert moved * dpi / 25.4 == pytest.approx(round(moved * dpi / 25.4))
        assert abs(moved - length) <= 25.4 / dpi / 2 + 1e-9
