"""Why nothing is approved, and why a survey gave no label: by what was surveyed and what was restricted."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from surveys.core.history import Surveyed
from surveys.core.status_reasons import NOT_FOR_VAPOURS, why_not_issued, why_nothing_approved
from tests.surveys.core.surveyed import criteria_dict, judged, limit, opening, read, survey_dict

AT = datetime(2026, 3, 12, 10, 0, tzinfo=UTC)

APPROVED = [  # signed here, whether a record says a height -> why nothing is approved
    (True, True, "nothing-approved"),
    (False, True, "earlier-record-approves-nothing"),
    (False, False, "earlier-record-says-no-height"),
]


@pytest.mark.parametrize(("here", "height", "why"), APPROVED)
def test_why_nothing_is_approved(here, height, why):
    verdict = Surveyed(1, 1, "pass", date(2026, 3, 12), AT, AT, True, "annual", 1, signed_here=here, says_height=height)
    assert why_nothing_approved(verdict) == why


ISSUED = [  # the restriction -> why there is no label
    ({"largest_opening": "12 in"}, "no-label-stop-not-moved"),
    ({"use": NOT_FOR_VAPOURS}, "no-label-canopy"),
    ({"use": "not for volatile poisons"}, "no-label-issued"),
    ({"use": None}, "no-label-issued"),
    ({}, "no-label-issued"),
]


@pytest.mark.parametrize(("restriction", "why"), ISSUED)
def test_why_a_survey_gave_no_label(restriction, why):
    assert why_not_issued(restriction) == why


def test_a_panel_of_a_combination_hood_is_known_by_the_name_of_its_opening():
    """Where no way is said, its name tells that it slides aside."""
    survey = survey_dict(
        read("left panel", "90", "92"),
        openings=[opening("left panel", "working", "12 in")],
        hood={"kind": "general", "control": "bypass", "sash": "combination", "monitor": "none"},
    )
    (made,) = judged(survey, criteria_dict(limit("average", "80 ft/min"))).as_found.openings
    assert made.is_panel
