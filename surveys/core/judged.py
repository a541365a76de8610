"""What judging gives: one shape for pages, prints, records and `calc`. Holds codes and numbers, never translated words."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from surveys.core.messages import Message
from surveys.core.rounding import digits_of, digits_of_root, exact_root, rounded_root
from surveys.core.units import Quantity, shown


@dataclass(frozen=True, slots=True)
class Number:
    """The value of a figure: exact, or as the exact square of a root. `bounds` are those it is held against.

    `shown` has as many digits as it takes, so that it stands on the same side of each bound as the value itself.
    """

    value: Fraction
    unit: str
    root: bool = False
    bounds: tuple[Quantity, ...] = ()

    @property
    def shown(self) -> str:
        value = (exact_root(self.value) or rounded_root(self.value, 40)) if self.root else self.value
        return shown(value, self.unit, tuple(bound.to(self.unit) for bound in self.bounds))

    def as_dict(self) -> dict[str, str]:
        if self.root:
            return {"value": digits_of_root(self.value), "unit": self.unit, "shown": self.shown}
        exact = f"{self.value.numerator}/{self.value.denominator}"
        return {"value": digits_of(self.value), "unit": self.unit, "exact": exact, "shown": self.shown}


@dataclass(frozen=True, slots=True)
class LimitJudged:
    """One limit at one opening. `compared` is the rounded value where the criteria compare rounded."""

    figure: str
    limit: int
    value: Number | None
    outcome: str
    consequence: str
    restriction: str | None = None
    because: Message | None = None
    compared: str | None = None

    @property
    def is_not_met(self) -> bool:
        return self.outcome == "not-met"

    def as_dict(self) -> dict[str, Any]:
        return {
            "figure": self.figure,
            "limit": self.limit,
            "value": self.value.as_dict() if self.value else None,
            "compared": self.compared,
            "outcome": self.outcome,
            "consequence": self.consequence,
            "because": self.because.as_dict() if self.because else None,
        }


@dataclass(frozen=True, slots=True)
class CheckJudged:
    """One check, of an opening or of the hood; `value` is what was answered, `unsaid` that what it says beside is missing."""

    check: str
    value: str | None
    outcome: str
    consequence: str
    restriction: str | None = None
    unsaid: bool = False

    @property
    def is_not_met(self) -> bool:
        return self.outcome == "not-met"

    def as_dict(self) -> dict[str, Any]:
        return {"check": self.check, "value": self.value, "outcome": self.outcome, "consequence": self.consequence}


Judgement = LimitJudged | CheckJudged


@dataclass(frozen=True)
class OpeningJudged:
    """One opening to be tested, in one state. `use` is the use it counts as."""

    opening: str
    use: str
    outcome: str
    figures: Mapping[str, Number | None]
    judgements: tuple[Judgement, ...]
    is_candidate: bool
    is_tested: bool
    way: str
    height: Fraction | None
    height_text: str | None
    missing: tuple[Message, ...] = ()
    free_area: Number | None = None  # of an opening that is covered in part
    width: Fraction | None = None
    is_panel: bool = False  # panels slide aside for it

    @property
    def size(self) -> tuple[Fraction, ...] | None:
        """By what openings of one way are ordered: height; of panels width, then height. None where it cannot be read."""
        if self.height is None or (self.is_panel and self.width is None):
            return None
        return (self.width, self.height) if self.is_panel and self.width is not None else (self.height,)

    @property
    def restrictions(self) -> tuple[str, ...]:
        return words_not_met(self.judgements)

    def as_dict(self) -> dict[str, Any]:
        return {
            "opening": self.opening,
            "use": self.use,
            "outcome": self.outcome,
            "figures": {code: number.as_dict() if number else None for code, number in self.figures.items()},
            "judgements": [judgement.as_dict() for judgement in self.judgements],
        } | ({"free_area": self.free_area.as_dict()} if self.free_area else {})


def words_not_met(judgements: tuple[Judgement, ...]) -> tuple[str, ...]:
    """The words of each restrict-limit and -check that is not met."""
    return tuple(j.restriction for j in judgements if j.is_not_met and j.consequence == "restrict" and j.restriction)


@dataclass(frozen=True)
class SetJudged:
    """The traverses and answers of one state, judged."""

    openings: tuple[OpeningJudged, ...]
    hood: tuple[Judgement, ...]  # limits on figures of the hood, then its checks
    verdict: str
    approved: tuple[str, ...]
    reasons: tuple[Message, ...]

    def as_dict(self) -> dict[str, Any]:
        return {
            "openings": [opening.as_dict() for opening in self.openings],
            "hood": [judgement.as_dict() for judgement in self.hood],
            "verdict": self.verdict,
            "approved": list(self.approved),
        }


@dataclass(frozen=True)
class Judged:
    """A survey, judged: as found and as left, the verdict, what is approved, and whether the label before it held."""

    as_found: SetJudged
    as_left: SetJudged
    verdict: str
    approved: tuple[str, ...]
    label: str
    restriction: Mapping[str, Any] | None
    reasons: tuple[Message, ...]

    def as_dict(self) -> dict[str, Any]:
        """As `calc survey` prints it, save the sentences of the reasons, which the shell adds."""
        found = self.as_found.as_dict()
        left = found if self.as_left is self.as_found else self.as_left.as_dict()
        return {
            "sets": {"as-found": found, "as-left": left},
            "verdict": self.verdict,
            "approved": list(self.approved),
            "label": self.label,
            "restriction": dict(self.restriction) if self.restriction is not None else None,
            "reasons": [reason.as_dict() for reason in self.reasons],
        }
