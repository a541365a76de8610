"""Averages of earlier results that are likelier a slip: asked before a list is kept, row by row, and kept as they are written."""

from __future__ import annotations

import pytest

from surveys.models import EarlierOpening
from tests.surveys.earlier.listed import csv, keep, of, send
from tests.surveys.words import said

pytestmark = pytest.mark.django_db

SAID = "The velocity in one row is below 10 or above 500 ft/min: row 2."


@pytest.fixture
def manager(signed_in, programme_manager):
    return signed_in(programme_manager)


@pytest.mark.parametrize(
    ("what", "asked"),
    [
        ({"average": "0.98 ft/min"}, True),
        ({"average": "9800 ft/min"}, True),
        ({"average": "98 m/s"}, True),
        ({"average": "98 ft/min"}, False),
        ({"average": "0.5 m/s"}, False),
        ({"average": "", "points": "980 1010 950 ft/min"}, True),
        ({"average": "", "points": "98 101 95 ft/min"}, False),
    ],
)
def test_a_velocity_that_is_likelier_a_slip_is_asked_about_and_kept_as_written(manager, hood, what, asked):
    row = of(
        **{"opening 1 lowest": "", "opening 1 points": ""} | {f"opening 1 {name}": text for name, text in what.items()}
    )
    page = send(manager, csv(row))
    assert (SAID in said(page)) is asked
    keep(manager, csv(row))
    kept = EarlierOpening.objects.get()
    assert (kept.average or kept.points) == (what["average"] or what["points"])
