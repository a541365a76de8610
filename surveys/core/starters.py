"""Two sets of criteria to start from. A site compares them with its local rules, completes and adopts them.

Each limit and rule says its source and how that source was seen. Checks that the sources leave to the site cost
`undecided`: a version cannot be adopted before the site has decided each of them.
"""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from surveys.core.messages import _


@dataclass(frozen=True)
class Starter:
    """A set to start from; its criteria document is the shape that every version has."""

    code: str
    name: str
    words: str
    _document: dict[str, Any]

    @property
    def document(self) -> dict[str, Any]:
        """The criteria document, a copy of its own for each who asks."""
        return deepcopy(self._document)


COMMON_PRACTICE = "common practice, no source"

# What a 'no' costs. The consequences are a starting point that every site decides for itself.
FAIL_EACH = ("smoke-at-opening", "air-drawn-in")
FAIL_HOOD = ("sash-moves-and-stays", "glazing-whole", "counterweight-sound")
NOTE_HOOD = ("light-works", "outlets-work")
UNDECIDED_EACH = ("smoke-inside-clears",)
UNDECIDED_HOOD = (
    "sash-one-hand", "stop-and-mark-in-place", "airfoil-and-slots-clear", "baffles-set", "storage-clear",
    "monitor-works", "alarm-works", "wash-down-works",
)  # fmt: skip

CALIFORNIA = "California Code of Regulations, Title 8, section 5154.1(c)(1)"
CALIFORNIA_SEEN = "read in excerpts of the adopted rule and of its proposal; compare with the text in force"
CALIFORNIA_DUE = "California Code of Regulations, Title 8, section 5154.1: at installation, then each year"
CALIFORNIA_DUE_SEEN = (
    "read in an excerpt; the rule also asks for a test after repair or renovation and after large equipment is placed, "
    "and allows two years under a calibration and maintenance programme of the monitor"
)
THREE_BANDS = "Southern Illinois University, hood survey programme: pass 80 to 120, restricted 70 to 79 or 121 to 150"
THREE_BANDS_SEEN = (
    "read in an excerpt; the bands are printed in whole ft/min, here the gaps between them are closed by comparing as "
    "measured"
)
UPPER_SEEN = (
    THREE_BANDS_SEEN + "; held to the working opening alone, since the velocity of a constant-volume hood rises when "
    "its sash is lowered"
)
YEARLY = "Prudent Practices in the Laboratory (National Research Council, 2011), section 9.C.2.8: each year or oftener"
YEARLY_SEEN = "read in an excerpt"
GRID = "ASHRAE 110, section 6.1: cells of at most 1 ft²; a longest edge of 13 in is common practice"
GRID_SEEN = "the area read in a digest of a draft; the edge from memory, 12 in and 13 in are both in use"

NOT_HIGHLY_TOXIC = "not for highly toxic materials"


def _checks() -> list[dict[str, Any]]:
    """The checks, with what a 'no' costs, in groups; criteria are read in the order of CHECKS, not of this list."""
    groups = (
        (FAIL_EACH, "each", "fail"),
        (FAIL_HOOD, "hood", "fail"),
        (UNDECIDED_EACH, "each", "undecided"),
        (UNDECIDED_HOOD, "hood", "undecided"),
        (NOTE_HOOD, "hood", "note"),
    )
    return [
        {"check": check, "applies_to": applies_to, "consequence": consequence, "source": COMMON_PRACTICE}
        for checks, applies_to, consequence in groups
        for check in checks
    ]


def _document(*, edge_exclusion: str, due: dict[str, Any], limits: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "compare": "as-measured",
        "edge_exclusion": edge_exclusion,
        "least_height": "6 in",
        "must_pass": [],
        "grid": {"largest_area": "1 ft**2", "longest_edge": "13 in", "source": GRID, "evidence": GRID_SEEN},
        "due": {"months": "12", "anchor": "day", "grace_days": "0", "use_ends_days": None, **due},
        "limits": limits,
        "checks": _checks(),
    }


LEGAL_MINIMUM = Starter(
    code="average-100-lowest-70",
    name=_("Average at least 100 ft/min, no point under 70 ft/min"),
    words=_(
        "The face velocity that one legal rule asks for. Points within 1 in of the edge of the opening are not counted "
        "for the lowest point. Stricter rules may apply to some materials. Compare with your local rules first."
    ),
    _document=_document(
        edge_exclusion="1 in",
        due={"source": CALIFORNIA_DUE, "evidence": CALIFORNIA_DUE_SEEN},
        limits=[
            {
                "figure": "average",
                "at_least": "100 ft/min",
                "applies_to": "each",
                "consequence": "fail",
                "source": CALIFORNIA,
                "evidence": CALIFORNIA_SEEN,
            },
            {
                "figure": "lowest",
                "at_least": "70 ft/min",
                "applies_to": "each",
                "consequence": "fail",
                "source": CALIFORNIA,
                "evidence": CALIFORNIA_SEEN,
            },
        ],
    ),
)

THREE_BAND = Starter(
    code="average-in-three-bands",
    name=_("Average in three bands: 80 to 120 ft/min, 70 to 150 ft/min restricted"),
    words=_(
        "An average of 80 to 120 ft/min passes; of 70 to 150 ft/min it is restricted, not for highly toxic materials; "
        "anything else fails. The lower ends hold at each opening to be approved, the upper ends at the working opening "
        "alone. Compare with your local rules first."
    ),
    _document=_document(
        edge_exclusion="0 in",
        due={"source": YEARLY, "evidence": YEARLY_SEEN},
        limits=[
            {
                "figure": "average",
                "at_least": "80 ft/min",
                "applies_to": "each",
                "consequence": "restrict",
                "restriction": NOT_HIGHLY_TOXIC,
                "source": THREE_BANDS,
                "evidence": THREE_BANDS_SEEN,
            },
            {
                "figure": "average",
                "at_most": "120 ft/min",
                "applies_to": "working",
                "consequence": "restrict",
                "restriction": NOT_HIGHLY_TOXIC,
                "source": THREE_BANDS,
                "evidence": UPPER_SEEN,
            },
            {
                "figure": "average",
                "at_least": "70 ft/min",
                "applies_to": "each",
                "consequence": "fail",
                "source": THREE_BANDS,
                "evidence": THREE_BANDS_SEEN,
            },
            {
                "figure": "average",
                "at_most": "150 ft/min",
                "applies_to": "working",
                "consequence": "fail",
                "source": THREE_BANDS,
                "evidence": UPPER_SEEN,
            },
        ],
    ),
)

STARTERS: dict[str, Starter] = {starter.code: starter for starter in (LEGAL_MINIMUM, THREE_BAND)}
