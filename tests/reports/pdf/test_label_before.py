"""Whether the label that hung there had held, as the certificate says it: with the true reason."""

from __future__ import annotations

import pytest

from reports.pdf.parts import label_before
from reports.pdf.wording import Wording

CASES = [  # what is judged, as found, approved as found, labelled before, what is printed, why
    ("held", "pass", ["working"], ["working"], "the one before held: all that it allowed was approved as found", "held"),
    ("not-held", "fail", [], ["working"], "the one before did not hold: not all that it allowed was approved as found", "failed"),
    ("not-tested", "no-verdict", [], ["working"], "not tested whether the one before held: as found has no verdict", "unfinished"),
    ("not-tested", "pass", ["working"], ["lower"],
     "not tested whether the one before held: it allowed ‘lower’, not measured as found", "another opening was measured"),
    ("not-tested", "restrict", ["a"], ["a", "b", "c"],
     "not tested whether the one before held: it allowed ‘b’, ‘c’, not measured as found", "one of three was measured"),
    ("no-label", "pass", ["working"], None, "there was none before", "the first"),
]  # fmt: skip


@pytest.mark.parametrize(("held", "verdict", "approved", "labelled", "printed", "why"), CASES)
def test_the_reason_is_the_true_one(held, verdict, approved, labelled, printed, why):
    found = {"verdict": verdict, "approved": approved}
    record = {"judged": {"label": held, "sets": {"as-found": found}}, "facts": {"labelled": labelled}}
    assert label_before(record, Wording()) == printed, why
