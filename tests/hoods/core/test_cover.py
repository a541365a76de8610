"""What covers a part of an opening: which rectangle it takes, what is refused, and how it is said."""

from fractions import Fraction

import pytest

from hoods.core.cover import Cover, Rectangle, field_of, said, share, why_not

PANEL = Cover("fixed panel", left="36 in")
SHELF = Cover("shelf", up="10 in", height="2 in")
#: 1 in is 25.4 mm; an opening of 60 by 40 in is 1524 by 1016 mm.
TAKEN = [
    # cover                                     left      right      bottom    top       why
    (PANEL,                                     "914.4",  "1524",    "0",      "1016",   "all that is right of 36 in"),
    (SHELF,                                     "0",      "1524",    "254",    "304.8",  "the whole width"),
    (Cover("panel", width="1 ft"),              "0",      "304.8",   "0",      "1016",   "from the left side, a foot wide"),
    (Cover("box", "20 in", "5 in", "10 in", "10 in"), "508", "762",  "127",    "381",    "in the middle"),
    (Cover("box", left="50 in", width="20 in"), "1270",   "1524",    "0",      "1016",   "no further than the side goes"),
]  # fmt: skip


@pytest.mark.parametrize(("cover", "left", "right", "bottom", "top", "why"), TAKEN)
def test_a_measure_that_is_not_written_reaches_to_the_side(cover, left, right, bottom, top, why):
    assert cover.within("60 in", "40 in") == Rectangle(*map(Fraction, (left, right, bottom, top))), why


@pytest.mark.parametrize(
    ("width", "height", "why"), [("36 in", "40 in", "it begins where the opening ends"), ("wide", "40 in", "no length")]
)
def test_what_lies_outside_takes_nothing(width, height, why):
    assert PANEL.within(width, height) is None, why
    assert share(PANEL, width, height) is None
    assert PANEL.within("36.1 in", "40 in") is not None, "the control"


REFUSED = [
    # cover                               field           wrong       why
    (Cover("", left="36 in"),             "cover",        "words",    "nobody knows what covers it"),
    (Cover("panel"),                      "cover_left",   "nowhere",  "no measure at all would cover everything"),
    (Cover("panel", left="-1 in"),        "cover_left",   "negative", "below zero"),
    (Cover("panel", width="0 in"),        "cover_width",  "nothing",  "it covers nothing"),
    (Cover("panel", left="60 in"),        "cover_left",   "outside",  "it begins at the other side"),
    (Cover("panel", left="36 in", width="24.1 in"), "cover_width", "outside", "it reaches over the side"),
    (Cover("shelf", up="39 in", height="2 in"), "cover_height", "outside", "over the upper edge"),
    (Cover("board", left="0 in"),         "cover_left",   "all",      "nothing is left open"),
    (Cover("board", width="60 in"),       "cover_left",   "all",      "nor so"),
]  # fmt: skip


@pytest.mark.parametrize(("cover", "field", "wrong", "why"), REFUSED)
def test_what_cannot_be_is_refused_at_its_field(cover, field, wrong, why):
    found = why_not(cover, "60 in", "40 in")
    assert found is not None, why
    assert (field_of(found[0]), found[1]) == (field, wrong), why


@pytest.mark.parametrize(
    "cover",
    [Cover(""), PANEL, SHELF, Cover("panel", left="36 in", width="24 in"), Cover("panel", left="0 in", width="1 in")],
)
def test_what_can_be_is_kept(cover):
    assert why_not(cover, "60 in", "40 in") is None


def test_of_an_opening_without_a_size_only_the_words_are_asked_for():
    assert why_not(Cover("panel", left="99 in"), "", "") is None
    assert why_not(Cover("", left="99 in"), "", "") == ("by", "words")


def test_it_is_drawn_as_a_part_of_its_opening():
    assert share(PANEL, "60 in", "40 in") == (Fraction(3, 5), 0, Fraction(2, 5), 1)
    assert share(SHELF, "60 in", "40 in") == (0, Fraction(7, 10), 1, Fraction(1, 20)), (
        "its top is 12 in up: 28 in from above"
    )
    assert share(None, "60 in", "40 in") is None


def test_it_is_said_with_what_is_written_alone():
    assert said(PANEL, str) == "fixed panel, 36 in from the left side"
    assert (
        said(Cover("box", "1 in", "2 in", "3 in", "4 in"), str)
        == "box, 1 in from the left side, 2 in from the lower edge, 3 in wide, 4 in high"
    )
    assert Cover.from_dict(PANEL.as_dict()) == PANEL
    assert PANEL.as_dict() == {"by": "fixed panel", "left": "36 in"}
