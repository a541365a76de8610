"""Sets whose limits are bands of the average: three bands, and one band with the deviation of each point."""

from __future__ import annotations

from surveys.core.messages import gettext_noop as _
from surveys.core.starters.common import Starter, document

THREE_BANDS = "Southern Illinois University, hood survey programme: pass 80 to 120, restricted 70 to 79 or 121 to 150"
THREE_BANDS_SEEN = (
    "read in an excerpt; the bands are printed in whole ft/min, here the gaps between them are closed by comparing as "
    "measured"
)
UPPER_SEEN = (
    THREE_BANDS_SEEN + "; held to the working opening alone, since the velocity of a constant-volume hood rises when "
    "its sash is lowered"
)
NOTRE_DAME = "University of Notre Dame, laboratory hood evaluation: 80 to 120 ft/min, with the sash at 18 in"
NOTRE_DAME_SEEN = (
    "read in an excerpt; the upper end is held to the working opening alone, since the velocity of a constant-volume "
    "hood rises when its sash is lowered"
)
DEVIATION = "ANSI/AIHA Z9.5-1992, clause 5.7, as others quote it: no reading more than 20 % from the average"
DEVIATION_SEEN = (
    "read in an excerpt of a page that quotes it, not in the standard; a safety officer’s letter of 1997 quotes 25 % from "
    "the same standard: compare with the text that binds you"
)

NOT_HIGHLY_TOXIC = "not for highly toxic materials"

THREE_BAND = Starter(
    code="average-in-three-bands",
    name=_("Average in three bands: 80 to 120 ft/min, 70 to 150 ft/min restricted"),
    words=_(
        "An average of 80 to 120 ft/min passes; of 70 to 150 ft/min it is restricted, not for highly toxic materials; "
        "anything else fails. The lower ends hold at each opening to be approved, the upper ends at the working opening "
        "alone. Compare with your local rules first."
    ),
    _document=document(
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

BAND_WITH_DEVIATION = Starter(
    code="band-with-deviation",
    name=_("Average of 80 to 120 ft/min, no point more than 20 % from it"),
    words=_(
        "An average of 80 to 120 ft/min, and each point of the grid within 20 % of that average. The lower end and the "
        "deviation hold at each opening to be approved, the upper end at the working opening alone. Compare with your "
        "local rules first."
    ),
    _document=document(
        limits=[
            {
                "figure": "average",
                "at_least": "80 ft/min",
                "applies_to": "each",
                "consequence": "fail",
                "source": NOTRE_DAME,
                "evidence": NOTRE_DAME_SEEN,
            },
            {
                "figure": "average",
                "at_most": "120 ft/min",
                "applies_to": "working",
                "consequence": "fail",
                "source": NOTRE_DAME,
                "evidence": NOTRE_DAME_SEEN,
            },
            {
                "figure": "deviation-percent",
                "at_most": "20 %",
                "applies_to": "each",
                "consequence": "fail",
                "source": DEVIATION,
                "evidence": DEVIATION_SEEN,
            },
        ],
    ),
)
