"""A traverse as the survey page draws it: the points of its grid, what they come to so far, and what the limits say."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from surveys.core.content import example, why_not_reading
from surveys.core.criteria import Limit
from surveys.core.judged import LimitJudged, OpeningJudged
from surveys.core.messages import Message
from surveys.core.trial import trial_height
from surveys.core.units import UNIT, Quantity, factor, number, with_unit
from surveys.views.survey_doubts import Doubt
from surveys.views.survey_points import Points
from surveys.wording import coded, sentence

#: Figures that the page works out while the readings come in; limits on others are judged when the survey is sent.
LIVE = ("average", "lowest", "highest", "spread", "spread-percent", "deviation-percent", "low-deviation-percent")
PERCENT = ("spread-percent", "deviation-percent", "low-deviation-percent")
AS_TYPED = ("lowest", "highest")  # readings themselves, shown with the digits that were typed
#: How a figure is called beside the grid, where there is little room.
SHORT = {
    "average": gettext_lazy("Average"), "lowest": gettext_lazy("Lowest point"), "highest": gettext_lazy("Highest point"),
    "deviation-percent": gettext_lazy("Largest deviation"), "low-deviation-percent": gettext_lazy("Lowest, below average"),
    "coefficient-of-variation": gettext_lazy("Variation"), "benchmark-ratio": gettext_lazy("Against benchmark"),
    "monitor-error-percent": gettext_lazy("Monitor"), "monitor-mark-ratio": gettext_lazy("Gauge ÷ its mark"),
}  # fmt: skip


@dataclass
class LimitLine:
    """A limit on the figures of this traverse, and what it says at the last save."""

    limit: Limit
    name: str
    words: str
    now: str
    says: str
    costs: str = ""  # what it comes to when it is not met


@dataclass(kw_only=True)
class Block(Points):
    """A traverse: its points, the figures of the last save, and each limit on them."""

    version: str
    covered: bool
    use: str
    judged: OpeningJudged | None = None
    questions: list[Doubt] = field(default_factory=list)
    problems: list[Any] = field(default_factory=list)
    monitor: str = "velocity"
    no_trial: Message | None = None  # why no height to try can be worked out
    is_panel: bool = False  # no sash edge stands over it
    sash: str = "vertical"

    @property
    def shown(self) -> dict[str, str]:
        figures = self.judged.figures if self.judged else {}
        made = {}
        for code in ("average", "lowest", "highest", "spread", "deviation-percent"):
            value = figures.get(code)
            text = self._typed(code, value) if value else "–"
            made[code.partition("-")[0]] = with_unit(text, "%") if value and code in PERCENT else text
        return made

    def _typed(self, code: str, value: Any) -> str:
        """The digits of a figure; of the lowest and the highest as they were typed, where one reading is it."""
        if code in AS_TYPED and value.unit == self.unit:
            for taken in self.taken.values():
                texts = [reading["value"] or "" for reading in taken if reading["struck"] is None]
                if len(texts) == 1 and self._points_are(texts[0], value.value):
                    return texts[0]
        return str(value.shown)

    def _points_are(self, text: str, value: Fraction) -> bool:
        return why_not_reading(text, self.unit, self.resolution, self.highest) is None and number(text) == value

    @cached_property
    def limits(self) -> list[LimitLine]:
        judged = {one.limit: one for one in self.judged.judgements if isinstance(one, LimitJudged)} if self.judged else {}
        return [
            self._line(limit, judged.get(index))
            for index, limit in enumerate(self.criteria.limits)
            if _applies(limit.applies_to, self.use)
            and (not limit.figure.monitors or self.monitor in limit.figure.monitors)
        ]

    def _line(self, limit: Limit, judged: LimitJudged | None) -> LimitLine:
        value = judged.value if judged else None
        now = with_unit(self._typed(limit.figure.code, value), value.unit) if value else "–"
        says = judged.outcome if judged else "not-tested"
        if limit.figure.code not in LIVE and says == "not-tested":
            says = "judged-when-sent"
        name = str(SHORT.get(limit.figure.code) or _(limit.figure.name))
        costs = coded("consequence", limit.consequence)
        if limit.restriction:
            costs = f"{costs}, {limit.restriction}"
        return LimitLine(limit, name, sentence(limit.said()), now, says, costs)

    @property
    def causes(self) -> bool:
        return any(limit.limit.figure.code == "average" and limit.limit.at_least for limit in self.limits)

    @property
    def low(self) -> bool:
        return any(
            line.says == "not-met" and line.limit.figure.code == "average" and line.limit.at_least
            and self.judged is not None and (value := self.judged.figures.get("average")) is not None
            and value.value < line.limit.at_least.to(value.unit)
            for line in self.limits
        )  # fmt: skip

    @property
    def why_no_trial(self) -> str:
        return sentence(self.no_trial) if self.no_trial else ""

    @property
    def trial_height(self) -> str:
        """Where to measure next: a hint, and nothing is judged by it."""
        average = self.judged and self.judged.figures.get("average")
        wanted = [line.limit.at_least for line in self.limits if line.limit.figure.code == "average" and line.limit.at_least]
        if self.no_trial or not (average and wanted):
            return ""
        most = max(wanted, key=lambda least: least.to(average.unit))
        least = self.criteria.least_height
        return trial_height(self.height, Fraction(average.value), average.unit, most, least) or ""

    @property
    def least_height(self) -> str:
        return str(self.criteria.least_height)

    @property
    def facts(self) -> str:
        """What the script needs to work out the same figures, exactly."""
        form = example(self.unit, self.resolution)
        return json.dumps(
            {
                "unit": self.unit_shown, "digits": self.digits, "places": UNIT[self.unit].places, "form": form,
                "highest": self._highest(),
                "rule": self.criteria.compare, "covered": self.covered, "enough": self.enough,
                "limits": [self._for_script(line.limit) for line in self.limits],
            },
            ensure_ascii=False,
        )  # fmt: skip

    def _highest(self) -> dict[str, Any] | None:
        """The highest velocity that the instrument shows, in the unit that is read."""
        if self.highest is None:
            return None
        value = self.highest.to(self.unit)
        return {"value": [str(value.numerator), str(value.denominator)], "text": str(self.highest)}

    def _for_script(self, limit: Limit) -> dict[str, Any]:
        live = limit.figure.code in LIVE
        return {
            "figure": limit.figure.code, "live": live,
            "least": self._bound(limit.at_least, limit) if live and limit.at_least else None,
            "most": self._bound(limit.at_most, limit) if live and limit.at_most else None,
        }  # fmt: skip

    def _bound(self, bound: Quantity, limit: Limit) -> dict[str, Any]:
        read_in = "%" if limit.figure.code in PERCENT else self.unit
        times = factor(read_in, bound.unit)
        return {
            "text": bound.text, "unit": UNIT[bound.unit].shown, "digits": UNIT[bound.unit].places,
            "factor": [str(times.numerator), str(times.denominator)],
        }  # fmt: skip


def _applies(applies_to: str, use: str) -> bool:
    return applies_to == use or (applies_to == "each" and use in ("working", "lower"))
