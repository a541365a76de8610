"""The status of 5,000 hoods of ten years beside loading the same facts as bare tuples."""

from __future__ import annotations

from time import process_time

from django.db import connection
from django.test.utils import CaptureQueriesContext

from hoods.models import Hood
from surveys.queries import statuses
from tests.bench.conftest import HOODS
from tests.bench.ratio import bare, ratio, said


def bench_status_of_five_thousand_hoods_of_ten_years(thousands):
    today = thousands.today()
    campus = Hood.objects.filter(site=thousands)
    with CaptureQueriesContext(connection) as asked:
        found = statuses(campus.all(), today)
    assert {status.code for status in found.values()} == {"met-criteria", "do-not-use"}
    said(
        f"status of {HOODS} hoods, {len(asked)} queries, beside bare tuples",
        ratio(lambda: statuses(campus.all(), today), bare(asked), clock=process_time),
        at_most=2,
    )
