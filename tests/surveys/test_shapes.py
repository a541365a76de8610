"""E28: a word and a shape, never colour alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.template.loader import render_to_string

from surveys.core.status import STATUSES as CODES
from tests.surveys.words import plain

pytestmark = pytest.mark.usefixtures("now")


# --- E28: a word and a shape, never colour alone ----------------------------------------------------------------------

SHAPES = Path(__file__).resolve().parents[2] / "static" / "shapes.svg"
OUTCOMES = ("met", "not-met", "not-tested", "pass", "restrict", "fail", "no-verdict", "recorded")


def drawn(markup: str) -> str:
    """The outline that a piece of a page refers to."""
    name = re.search(r'href="[^"#]*#([\w-]+)"', markup)
    assert name, markup
    outline = re.search(rf'<symbol id="{name.group(1)}".*?</symbol>', SHAPES.read_text(), re.DOTALL)
    assert outline, name.group(1)
    return outline.group(0).split(">", 1)[1]


def test_e28_each_status_has_a_word_and_a_shape_of_its_own():
    pieces = [render_to_string("components/status.html", {"status": code}) for code in CODES]
    assert len({plain(piece) for piece in pieces}) == len({drawn(piece) for piece in pieces}) == len(CODES)
    assert sorted(map(plain, pieces)) == sorted(
        ("Met criteria", "Restricted", "Do not use", "Out of service", "Hibernated", "Not yet surveyed", "Retired")
    )


def test_e28_each_outcome_has_a_word_of_its_own_and_a_shape():
    pieces = [render_to_string("components/outcome.html", {"outcome": code}) for code in OUTCOMES]
    assert len({plain(piece) for piece in pieces}) == len(OUTCOMES)
    of_a_limit = {drawn(piece) for piece in pieces[:3]}
    of_a_survey = {drawn(piece) for piece in pieces[3:7]}
    assert (len(of_a_limit), len(of_a_survey)) == (3, 4)


@pytest.mark.parametrize("code", CODES)
def test_e28_a_screen_reader_hears_the_word_alone(code):
    piece = render_to_string("components/status.html", {"status": code})
    assert re.findall(r"<svg[^>]*>", piece) == ['<svg class="shape" aria-hidden="true">']
