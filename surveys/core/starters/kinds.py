"""A set for hoods of one kind that others are not judged by: radioisotope hoods, surveyed twice a year."""

from __future__ import annotations

from surveys.core.messages import gettext_noop as _
from surveys.core.starters.bands import NOTRE_DAME, NOTRE_DAME_SEEN
from surveys.core.starters.common import Starter, document

HALF_YEARLY = "University of Notre Dame, laboratory hood evaluation: twice a year where radioactive material is used"
HALF_YEARLY_SEEN = "read in an excerpt"
MOST = "Industrial Ventilation (ACGIH): at most 125 ft/min for radioisotope hoods"
MOST_SEEN = (
    "read in two digests, not in the manual; held to the working opening alone, since the velocity of a constant-volume "
    "hood rises when its sash is lowered"
)

RADIOISOTOPE = Starter(
    code="radioisotope-half-yearly",
    name=_("Radioisotope hoods: average of 80 to 125 ft/min, each half year"),
    words=_(
        "An average of at least 80 ft/min at each opening and at most 125 ft/min at the working one, and a survey every six "
        "months, of which the radiation office is told. Your licence may ask for more. Compare with your local rules first."
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
                "at_most": "125 ft/min",
                "applies_to": "working",
                "consequence": "fail",
                "source": MOST,
                "evidence": MOST_SEEN,
            },
        ],
        due={"months": "6", "source": HALF_YEARLY, "evidence": HALF_YEARLY_SEEN},
    ),
)
