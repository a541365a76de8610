"""What tests of findings start from: readings that fail, and what is read of a finding."""

from __future__ import annotations

from datetime import timedelta

from surveys.models import Finding
from tests.surveying import SURVEYED, entered, grid

LATER = SURVEYED + timedelta(days=20)
# under 80 on the average, no point under 70
LOW = grid(["72", "73", "71", "72", "74", "71", "73", "72", "71", "71"])
LOWER_STILL = grid(["71", "72", "70", "71", "73", "70", "72", "71", "70", "70"])
LATEST = SURVEYED + timedelta(days=40)


def answered(instrument, check, answer, readings=None):
    made = entered(instrument, readings)
    next(one for one in made["answers"] if one["check"] == check)["answer"] = answer
    return made


def things(hood):
    rows = Finding.objects.filter(hood=hood).open().order_by("kind", "figure", "check_code")
    return [(row.kind, row.figure or row.check_code or row.ended, row.opening_name) for row in rows]


def changes(finding):
    return list(finding.changes.order_by("at", "pk").values_list("kind", flat=True))


FAILED = [("fail", "average", "working")]
