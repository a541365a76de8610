"""Which openings a survey tests, and the boxes that are there for them before anything was entered."""

from __future__ import annotations

from collections.abc import Mapping

from surveys.core.criteria import Criteria
from surveys.core.units import LENGTH, NotANumber, quantity
from surveys.facts import Around
from surveys.forms.survey_document import opening_names, to_boxes


def first_boxes(around: Around, criteria: Criteria) -> dict[str, str]:
    """The boxes of a survey in which nothing was entered yet: the openings to be tested."""
    names = openings_to_test(around, criteria)
    return to_boxes({"openings": [{"name": name, "width": None, "height": None} for name in names]})


def openings_to_test(around: Around, criteria: Criteria) -> list[str]:
    """Openings tested at every survey, and those of a use that a fail- or restrict-limit or -check names."""
    costly = [one for one in (*criteria.limits, *criteria.checks) if one.consequence in ("fail", "restrict")]
    named = {one.applies_to for one in costly}
    return [opening.name for opening in around.openings if opening.tested_every_survey or opening.use in named]


def with_openings(boxes: Mapping[str, str], around: Around, criteria: Criteria) -> dict[str, str]:
    """The boxes with every opening that is to be tested among them: those that lack one get it at the end."""
    made = dict(boxes)
    there = opening_names(made)
    number = max(there, default=-1) + 1
    for name in openings_to_test(around, criteria):
        if name not in there.values():
            made[f"o{number}_name"] = name
            number += 1
    return made


def is_under_least(height: str, criteria: Criteria) -> bool:
    """Whether a height is under the least useful one of these criteria."""
    try:
        return quantity(height, LENGTH).to("m") < criteria.least_height.to("m")
    except NotANumber:
        return False
