"""A row of facts on a label, each under its small heading, in type for which there is room."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from reports.pdf.style import BLACK, SEMIBOLD, Pages, fit, width

LEAST = 1.95  # of type that is read at arm’s length: 5.5 points; smaller only where words would be lost else
GAP = 3.0
HEADING = 2.35


@dataclass(frozen=True)
class Fact:
    """A few words under a small heading; `gives_way` where they are the first to become smaller when room is short."""

    heading: str
    text: str
    size: float
    weight: str = SEMIBOLD
    gives_way: bool = False

    @property
    def wide(self) -> float:
        return max(width(self.heading, HEADING), width(self.text, self.size, self.weight))


def row(pages: Pages, facts: Sequence[Fact], x: float, y: float, wide: float) -> None:
    """One row of facts; where they ask for more width than there is, the longest are set smaller."""
    room = wide - GAP * (len(facts) - 1)
    facts = _sized(facts, room)
    for fact, share in zip(facts, _shares(facts, room), strict=True):
        pages.fitted(x, y, fit(fact.heading, share, HEADING, HEADING, 1.2), ink=BLACK)
        fitted = fit(fact.text, share + 0.01, 3.2, fact.size, 0.4, fact.weight)
        under = 0.5 if len(fitted.lines) > 1 else 0  # several lines reach a little under the line on which one stands
        pages.fitted(x, y + 4.75 + under - fitted.height, fitted, fact.weight, BLACK)
        x += share + GAP


def _sized(facts: Sequence[Fact], room: float) -> Sequence[Fact]:
    """The facts in type for which the row has room: those that give way become smaller first, none smaller than can be read."""
    for all_give in (False, True):
        while sum(fact.wide for fact in facts) > room:
            giving = [fact for fact in facts if (fact.gives_way or all_give) and fact.size > LEAST]
            if not giving:
                break
            facts = [replace(fact, size=max(LEAST, fact.size - 0.05)) if fact in giving else fact for fact in facts]
    return facts


def _shares(facts: Sequence[Fact], room: float) -> list[float]:
    """Widths that fill the room: what is over is dealt out evenly; where it falls short, the widest are cut to one measure."""
    over = room - sum(fact.wide for fact in facts)
    if over >= 0:
        return [fact.wide + over / len(facts) for fact in facts]
    firm = sum(fact.wide for fact in facts if not fact.gives_way)
    giving = [fact for fact in facts if fact.gives_way]
    least = 12 * len(giving)
    if room - firm < least:  # even the firm ones are too long: all give way
        firm, giving = 0.0, list(facts)
    left = room - firm
    for place, wide in enumerate(sorted(fact.wide for fact in giving)):
        measure = left / (len(giving) - place)
        if wide > measure:
            break
        left -= wide
    return [min(fact.wide, measure) if fact in giving else fact.wide for fact in facts]
