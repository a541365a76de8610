"""The outline test: frames where the labels stand, measuring lines of their length, at either printer's dots."""

import numpy
import pytest

from reports.core.sheets import SHEETS
from reports.pdf.outline import outline
from tests.reports.pdf import reading

EACH = pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
DPI = pytest.mark.parametrize("dpi", [203, 300])


def made(sheet, dpi=300) -> bytes:
    return outline(sheet, f"paper {sheet.code}", dpi)


@EACH
def test_l5_the_page_is_the_paper_and_is_not_to_be_scaled(sheet):
    pdf = made(sheet)
    assert reading.size(pdf) == pytest.approx((sheet.page_width, sheet.page_height), abs=0.1)
    assert len(reading.pages(pdf)) == 1
    assert reading.catalog(pdf)["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert reading.title(pdf) == f"Outline test: paper {sheet.code}"


def runs(row: numpy.ndarray, least: int) -> list[tuple[int, int]]:
    """Where dark dots follow one another in a row, from where to where, at least so many."""
    dark = numpy.flatnonzero(numpy.diff(numpy.concatenate([[0], (row < 128).astype(int), [0]])))
    return [(start, end) for start, end in zip(dark[::2], dark[1::2], strict=True) if end - start >= least]


@EACH
@DPI
def test_a_frame_stands_where_each_label_will(sheet, dpi):
    picture = reading.picture(made(sheet, dpi), dpi)
    dot = 25.4 / dpi
    for number in range(sheet.per_page):
        x, y = sheet.box(number)
        left, top, right, bottom = (round(each / dot) for each in (x, y, x + sheet.label_width, y + sheet.label_height))
        for row in (top, bottom - 1):
            assert (picture[row, left:right] < 128).all(), number
        for column in (left, right - 1):
            assert (picture[top:bottom, column] < 128).all(), number
    outside = picture.copy()
    for number in range(sheet.per_page):
        x, y = sheet.box(number)
        outside[
            round(y / dot) : round((y + sheet.label_height) / dot),
            round(x / dot) : round((x + sheet.label_width) / dot),
        ] = 255
    if sheet.is_roll:
        assert (outside < 128).sum() < outside.size / 100, "nothing but the ends of a line stands beside the label"


@EACH
@DPI
def test_the_measuring_lines_are_as_long_as_they_say(sheet, dpi):
    """In whole dots: off by less than one at each end."""
    picture = reading.picture(made(sheet, dpi), dpi)
    dot = 25.4 / dpi
    found = {round((end - start) * dot, 1) for row in picture for start, end in runs(row, round(60 / dot))}
    for long in (100.0, 101.6):
        if long <= sheet.page_width:
            assert any(abs(length - long) <= 2 * dot for length in found), (long, found)


def test_control_a_line_of_another_length_is_not_found():
    picture = reading.picture(made(SHEETS["a4-2x5"]), 300)
    found = {(end - start) * 25.4 / 300 for row in picture for start, end in runs(row, 700)}
    assert not any(abs(length - 98) <= 0.2 for length in found)


@EACH
def test_it_says_what_it_is_and_what_to_do(sheet):
    said = reading.text(made(sheet, 203))
    for words in ("100 mm between the ends", "203 dots an inch", "actual size", "set the printer’s offset"):
        assert words in said
    assert ("4 in between the ends" in said) == (sheet.page_width >= 101.6)
    assert ("A line of 4 in is longer than this label." in said) == (sheet.page_width < 101.6)
    assert all(f" {number} " in f" {said} " for number in range(1, sheet.per_page + 1) if not sheet.is_roll)


@EACH
def test_l10_nothing_leaves_the_page_or_runs_into_something(sheet):
    lines = reading.inks(outline(sheet, "Blatt mit zehn Etiketten zu je einhundert mal fünfzig Millimetern " * 2, 300))
    assert reading.outside(lines, sheet.page_width, sheet.page_height, margin=2) == []
    assert reading.collisions(lines) == []


def test_l1_the_same_outline_is_the_same_bytes():
    assert made(SHEETS["4x2in"]) == made(SHEETS["4x2in"])
