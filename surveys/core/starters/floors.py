"""Sets whose limits are floors: what one legal rule asks for, and one in metric units."""

from __future__ import annotations

from surveys.core.messages import gettext_noop as _
from surveys.core.starters.common import METRIC, Starter, document

CALIFORNIA = "California Code of Regulations, Title 8, section 5154.1(c)(1)"
CALIFORNIA_SEEN = "read in excerpts of the adopted rule and of its proposal; compare with the text in force"
CALIFORNIA_DUE = "California Code of Regulations, Title 8, section 5154.1: at installation, then each year"
CALIFORNIA_DUE_SEEN = (
    "read in an excerpt; the rule also asks for a test after repair or renovation and after large equipment is placed, "
    "and allows two years under a calibration and maintenance programme of the monitor"
)
FUME_CUPBOARDS = "AS/NZS 2243.8:2014, clause 3.1.2: an average of 0.5 m/s or more at the largest working opening"
FUME_CUPBOARDS_SEEN = "read in an excerpt of a guide to the standard, not in the standard"
RECIRCULATING = "AS/NZS 2243.9:2009, clause 4.1.2: each measurement 0.3 m/s or more; beyond 20 % it is looked into"
RECIRCULATING_SEEN = "read in an excerpt; it is written for cabinets that filter and return the air, so here it is noted and nothing more"
UPPER = "AS/NZS 2243.9:2009, clause 4.1.2, note 2: above 1 m/s the air may become turbulent"
MAINTAINED = "AS/NZS 2243.8:2014: proof of maintenance at least once a year"
MAINTAINED_SEEN = "read in an excerpt of a guide to the standard, not in the standard"

LEGAL_MINIMUM = Starter(
    code="average-100-lowest-70",
    name=_("Average at least 100 ft/min, no point under 70 ft/min"),
    words=_(
        "The face velocity that one legal rule asks for. Points within 1 in of the edge of the opening are not counted "
        "for the lowest point. Stricter rules may apply to some materials. Compare with your local rules first."
    ),
    _document=document(
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

HALF_A_METRE = Starter(
    code="average-half-a-metre-a-second",
    name=_("Average at least 0.5 m/s, in metric units"),
    words=_(
        "An average of at least 0.5 m/s at each opening to be approved. A point under 0.3 m/s, a point more than 20 % "
        "from the average and an average above 1 m/s are noted. Everything is written in metres and millimetres, and "
        "judged so. Compare with your local rules first."
    ),
    _document=document(
        due={"source": MAINTAINED, "evidence": MAINTAINED_SEEN},
        limits=[
            {
                "figure": "average",
                "at_least": "0.5 m/s",
                "applies_to": "each",
                "consequence": "fail",
                "source": FUME_CUPBOARDS,
                "evidence": FUME_CUPBOARDS_SEEN,
            },
            {
                "figure": "average",
                "at_most": "1 m/s",
                "applies_to": "working",
                "consequence": "note",
                "source": UPPER,
                "evidence": RECIRCULATING_SEEN,
            },
            {
                "figure": "lowest",
                "at_least": "0.3 m/s",
                "applies_to": "each",
                "consequence": "note",
                "source": RECIRCULATING,
                "evidence": RECIRCULATING_SEEN,
            },
            {
                "figure": "deviation-percent",
                "at_most": "20 %",
                "applies_to": "each",
                "consequence": "note",
                "source": RECIRCULATING,
                "evidence": RECIRCULATING_SEEN,
            },
        ],
        **METRIC,
    ),
)
