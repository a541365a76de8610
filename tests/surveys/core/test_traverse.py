"""Figures worked by hand where one of them could be wrong and no other show it."""

from fractions import Fraction

import pytest

from surveys.core import traverse
from surveys.core.entry import Reading
from surveys.core.figures import OF_OPENINGS


def of(*values: str | None, **given) -> traverse.Traverse:
    """A traverse of one row; None is a point without a reading."""
    readings = (tuple((Reading(text),) if text else () for text in values),)
    return traverse.of_readings(readings, "ft/min", planned=(1, 1), **given)


WORKED = [
    # figure,              readings,                         value,             why
    (traverse.largest_deviation, ("100", "100", "100", "140"), Fraction(300, 11), "the highest point departs most: 30 of 110"),
    (traverse.largest_deviation, ("100", "100", "100", "60"), Fraction(100, 3), "the lowest does: 30 of 90"),
    (traverse.low_deviation, ("100", "100", "100", "140"), Fraction(100, 11), "only what lies below counts: 10 of 110"),
    (traverse.variation_squared, ("90", "110"), Fraction(200), "200 of 100² in percent²"),
    (traverse.deviation_squared, ("0.90", "1.10"), Fraction(2, 100), "in the unit of the traverse, squared"),
    (traverse.spread, ("0.9", "1.15"), Fraction(25, 100), "decimals of two lengths"),
    (traverse.highest, ("0.9", "1.15"), Fraction(115, 100), "in the unit of the traverse, not in its last digit"),
]  # fmt: skip


@pytest.mark.parametrize(("figure", "readings", "value", "why"), WORKED, ids=[row[3] for row in WORKED])
def test_a_figure_worked_by_hand(figure, readings, value, why):
    assert figure(of(*readings)) == value, why


def test_behind_a_cover_there_is_no_point_and_the_points_beside_it_keep_their_distance_from_the_edge():
    made = of(
        "40", "90", None, "80", "100", counted=(False, True, True, True, True), free=(True, True, False, True, True)
    )
    assert made.complete
    assert made.counted == (False, True, True, True)
    assert traverse.lowest(made) == 80, "40 lies near the edge; behind the cover nothing is read"
    assert traverse.average(made) == Fraction(310, 4)


def test_the_error_of_a_monitor_does_not_hang_on_the_digits_that_were_read():
    """(110 − 100) / 100, whether the average was read as 100 or as 100.0."""
    for readings in (("100", "100"), ("100.0", "100.0"), ("99.50", "100.50")):
        assert traverse.monitor_error(of(*readings, monitor=Fraction(110))) == 10


@pytest.mark.parametrize("figure", [one for one in OF_OPENINGS if not one.plain], ids=lambda figure: figure.code)
def test_a_traverse_with_a_missing_point_has_no_figure(figure):
    missing = of("100", None, "140", monitor=Fraction(100), benchmark=Fraction(100), area=Fraction(1))
    assert figure.function(missing) is None


def test_of_points_of_which_none_was_read_nothing_is_highest_or_lowest():
    nothing = of(None, None)
    assert traverse.highest_so_far(nothing) is None
    assert traverse.lowest_so_far(nothing) is None


def test_of_points_of_which_some_were_read_the_highest_and_lowest_are_told():
    some = of("98.5", None, "101.5")
    assert traverse.highest_so_far(some) == Fraction(203, 2)
    assert traverse.lowest_so_far(some) == Fraction(197, 2)
