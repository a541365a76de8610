"""Sets for hoods that proved themselves by a tracer gas test: held to a benchmark, or at a low velocity.

The test itself is not judged here. What it showed is written as the benchmark's source, or as the evidence of an
assignment.
"""

from __future__ import annotations

from surveys.core.messages import gettext_noop as _
from surveys.core.starters.common import Starter, document

BENCHMARK = (
    "ANSI/AIHA/ASSE Z9.5-2012, as a summary of its draft gives it: 90 to 120 % of the velocity that the hood had in its "
    "test on site (ASHRAE 110); outside, it is put right before further use"
)
BENCHMARK_SEEN = "read in an excerpt of a summary that was written before the standard was published"
LOW_VELOCITY = (
    "SEFA 1-2010, definition of a high-performance hood, as a digest gives it: 60 ft/min with the sash fully open, and a "
    "tracer gas test passed at 4.0 AM 0.05"
)
LOW_VELOCITY_SEEN = "read in an excerpt of the digest, not in the standard"
UPPER = "Prudent Practices in the Laboratory (National Research Council), as a digest gives it: 60 to 100 ft/min"
UPPER_SEEN = (
    "read in an excerpt of the digest; above it a low-velocity hood is not working as it was tested, so it is noted"
)

RATIO_TO_BENCHMARK = Starter(
    code="ratio-to-benchmark",
    name=_("Average of 0.90 to 1.20 of the benchmark of the opening"),
    words=_(
        "The average at each opening to be approved is held to the average that the same opening had when the hood "
        "passed its tracer gas test where it stands. An opening without a benchmark has no verdict: enter the benchmarks "
        "of a hood before it is judged by this set. Compare with your local rules first."
    ),
    _document=document(
        limits=[
            {
                "figure": "benchmark-ratio",
                "at_least": "0.90",
                "at_most": "1.20",
                "applies_to": "each",
                "consequence": "fail",
                "source": BENCHMARK,
                "evidence": BENCHMARK_SEEN,
            },
        ],
    ),
)

LOW_VELOCITY_PROVEN = Starter(
    code="low-velocity-proven",
    name=_("Low-velocity hoods: average at least 60 ft/min, with evidence"),
    words=_(
        "Only for hoods that were shown, by a tracer gas test where they stand and as they are used, to contain at this "
        "velocity: a hood is judged by this set only with that evidence. One national laboratory’s guide asks for a "
        "control level of 0.10 ppm or less as used. Some laws ask for 100 ft/min from every hood. Compare with your "
        "local rules first."
    ),
    _document=document(
        evidence_required=True,
        limits=[
            {
                "figure": "average",
                "at_least": "60 ft/min",
                "applies_to": "each",
                "consequence": "fail",
                "source": LOW_VELOCITY,
                "evidence": LOW_VELOCITY_SEEN,
            },
            {
                "figure": "average",
                "at_most": "100 ft/min",
                "applies_to": "working",
                "consequence": "note",
                "source": UPPER,
                "evidence": UPPER_SEEN,
            },
        ],
    ),
)
