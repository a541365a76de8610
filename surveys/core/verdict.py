"""What a set comes to: the openings that are approved, the verdict with its reasons, and what is excluded.

The rules stand in judging.py, under 'Approved' and 'Verdict'; there each opening gets its outcome first.
"""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from surveys.core import codes, reasons
from surveys.core.checks import INDISPENSABLE, Check
from surveys.core.criteria import Asked, Criteria
from surveys.core.facts import Facts
from surveys.core.judged import Judged, Judgement, OpeningJudged, SetJudged, words_not_met
from surveys.core.messages import Message
from surveys.core.outcomes import NOT_TESTED
from surveys.core.sash import flow_state_of, parts_untold

PASS, RESTRICT, FAIL, NO_VERDICT, RECORDED = "pass", "restrict", "fail", "no-verdict", "recorded"
COSTLY = ("fail", "restrict")
#: The modes of a variable-volume hood in which it can be judged: none noted, or occupied.
OCCUPIED = (None, "", "normal")
CANOPY = "canopy"


def approvable_of(openings: tuple[OpeningJudged, ...]) -> tuple[str, ...]:
    """The candidates that can be approved: nobody is approved at or above a size that failed or has no verdict."""
    return tuple(
        opening.opening
        for opening in openings
        if opening.is_candidate and opening.outcome in (PASS, RESTRICT) and _barred_by(opening, openings) is None
    )


def _barred_by(opening: OpeningJudged, openings: tuple[OpeningJudged, ...]) -> OpeningJudged | None:
    for other in openings:
        if other is opening or other.way != opening.way or not (other.is_candidate and other.is_tested):
            continue
        below = other.size is None or opening.size is None or other.size <= opening.size
        if below and other.outcome in (FAIL, NO_VERDICT):
            return other
    return None


def _is_narrower(one: OpeningJudged, other: OpeningJudged) -> bool:
    return one.is_panel and one.width is not None and other.width is not None and one.width < other.width


def verdict_of(
    openings: tuple[OpeningJudged, ...],
    hood: tuple[Judgement, ...],
    approvable: tuple[str, ...],
    criteria: Criteria,
    facts: Facts,
    ended: str | None,
    before: SetJudged | None,
    conditions: Mapping[str, Any],
) -> tuple[str, tuple[Message, ...]]:
    """The first line that has a reason decides."""
    failing = tuple(_why_fail(openings, hood, approvable, criteria, ended))
    if failing:
        return FAIL, failing
    lacking = tuple(_why_no_verdict(openings, hood, approvable, criteria, facts, ended, conditions))
    if lacking:
        failed = tuple(_why_unfinished_fails(openings, before, criteria))
        return (FAIL, failed + lacking) if failed else (NO_VERDICT, lacking)
    restricting = tuple(_why_restrict(openings, hood, approvable, criteria, facts))
    left = reasons.of_left(openings, hood)
    if restricting:
        return RESTRICT, restricting + left
    noted = tuple(_noted(openings, hood, criteria))
    return PASS, (Message("decisive-met"), *noted, *left) if noted or left else (Message("all-met"),)


def _noted(
    openings: tuple[OpeningJudged, ...], hood: tuple[Judgement, ...], criteria: Criteria
) -> Iterator[Message]:
    """What is not met and costs a note alone."""
    for opening in openings:
        yield from reasons.of_opening(opening, criteria, "note")
    for judgement in hood:
        if judgement.is_not_met and judgement.consequence == "note":
            yield reasons.of_hood(judgement, criteria)


def _why_fail(
    openings: tuple[OpeningJudged, ...],
    hood: tuple[Judgement, ...],
    approvable: tuple[str, ...],
    criteria: Criteria,
    ended: str | None,
) -> Iterator[Message]:
    if ended in codes.REASONS_THAT_STOP_A_HOOD:
        yield Message("ended-and-stopped", {"ending": ended})
    for judgement in hood:
        if judgement.is_not_met and judgement.consequence == FAIL:
            yield reasons.of_hood(judgement, criteria)
    for opening in openings:
        must_pass = opening.use in criteria.must_pass
        if opening.outcome == FAIL and must_pass:
            yield Message("must-pass-failed", {"use": opening.use, "opening": opening.opening})
        if opening.outcome == FAIL and (must_pass or not opening.is_candidate or not approvable):
            yield from reasons.of_opening(opening, criteria, FAIL)


def _why_no_verdict(
    openings: tuple[OpeningJudged, ...],
    hood: tuple[Judgement, ...],
    approvable: tuple[str, ...],
    criteria: Criteria,
    facts: Facts,
    ended: str | None,
    conditions: Mapping[str, Any],
) -> Iterator[Message]:
    if ended is not None:
        yield Message("ended-and-left", {"ending": ended})
    for judgement in hood:
        if judgement.outcome == NOT_TESTED and judgement.consequence in COSTLY:
            yield reasons.of_untested_hood(judgement)
    for asked in criteria.checks:
        if asked.consequence == "undecided" and asked.check.is_for(facts.hood):
            yield Message("check-undecided", {"check": asked.check.code})
    yield from _why_not_of_this_kind(criteria, facts)
    if facts.hood.control == "variable-volume" and conditions.get("mode") not in OCCUPIED:
        yield Message("not-in-occupied-mode")
    if facts.hood.control == "two-state" and not flow_state_of(facts.hood.control, conditions):
        yield Message("flow-state-not-said")
    for opening in openings:
        if opening.outcome == NO_VERDICT or not opening.is_tested:
            yield from reasons.of_untested(opening)
    for use in criteria.must_pass:
        if not any(opening.use == use and opening.is_tested for opening in openings):
            yield Message("must-pass-not-tested", {"use": use})
    if not approvable:
        yield Message("none-approved")


def _why_not_of_this_kind(criteria: Criteria, facts: Facts) -> Iterator[Message]:
    """What a hood of this kind cannot pass without, and these criteria do not ask of it at the cost of a use."""
    for check in INDISPENSABLE:
        if check.is_for(facts.hood) and not any(_is_asked_of_all(asked, check) for asked in criteria.checks):
            yield Message("kind-needs-check", {"check": check.code})


def _is_asked_of_all(asked: Asked, check: Check) -> bool:
    return asked.check is check and asked.applies_to in ("hood", "each") and asked.consequence in COSTLY


def _why_unfinished_fails(
    openings: tuple[OpeningJudged, ...], before: SetJudged | None, criteria: Criteria
) -> Iterator[Message]:
    """What failed and is not shown mended, where the survey would otherwise have no verdict."""
    failed = [opening for opening in openings if opening.is_candidate and opening.outcome == FAIL]
    if failed:
        yield Message("unfinished")
    for opening in failed:
        yield from reasons.of_opening(opening, criteria, FAIL)
    if before is not None and before.verdict in (FAIL, RESTRICT):
        restricted = Message("unfinished-after-restrict")
        yield restricted if before.verdict == RESTRICT else Message("unfinished-as-found", {"verdict": before.verdict})
        yield from before.reasons


def _why_restrict(
    openings: tuple[OpeningJudged, ...],
    hood: tuple[Judgement, ...],
    approvable: tuple[str, ...],
    criteria: Criteria,
    facts: Facts,
) -> Iterator[Message]:
    for opening in openings:
        if _is_left_out(opening, approvable):
            yield from reasons.of_opening(opening, criteria, FAIL)
            lower = _barred_by(opening, openings)
            if lower is not None:
                code = "barred-by-narrower" if _is_narrower(lower, opening) else "barred-from-below"
                yield Message(code, {"opening": opening.opening, "lower": lower.opening})
        elif opening.opening in approvable or not opening.is_candidate:
            yield from reasons.of_opening(opening, criteria, RESTRICT)
    for judgement in hood:
        if judgement.is_not_met and judgement.consequence == RESTRICT:
            yield reasons.of_hood(judgement, criteria)
    if facts.hood.kind == CANOPY:
        yield Message("canopy-only")


def restriction_of(left: SetJudged, facts: Facts) -> dict[str, object]:
    """What is excluded: a larger opening, openings by name, a use. It stands on measurement, never on calculation."""
    made: dict[str, object] = {}
    unapproved = [opening for opening in left.openings if _is_left_out(opening, left.approved)]
    if unapproved:
        if _is_of_one_height(left):
            made["largest_opening"] = _highest(left).height_text
        else:
            made["not_openings"] = [opening.opening for opening in unapproved]
            ways = {known.name: known.way for known in facts.openings}
            made |= parts_untold((ways.get(each.opening), each.opening) for each in unapproved)
    words = [
        *(w for o in left.openings if o.opening in left.approved or not o.is_candidate for w in o.restrictions),
        *words_not_met(left.hood),
        *([codes.NOT_FOR_VAPOURS] if facts.hood.kind == CANOPY else []),
    ]
    if words:
        made["use"] = "; ".join(dict.fromkeys(words))
    return made


def _is_of_one_height(judged: SetJudged) -> bool:
    """Whether one height says how far all may be open: its openings are of one way, and no panel slides aside for them."""
    candidates = [opening for opening in judged.openings if opening.is_candidate]
    return len({opening.way for opening in candidates}) == 1 and not any(opening.is_panel for opening in candidates)


def _is_left_out(opening: OpeningJudged, approved: tuple[str, ...]) -> bool:
    """Whether a candidate was tested and is neither approved nor merely recorded."""
    return (
        opening.is_candidate and opening.is_tested and opening.opening not in approved and opening.outcome != RECORDED
    )


def _highest(judged: SetJudged) -> OpeningJudged:
    approved = [opening for opening in judged.openings if opening.opening in judged.approved]
    return max(approved, key=lambda opening: opening.height or Fraction(0))


def highest_approved(judged: Judged) -> str | None:
    """The height, as measured, that the sash may stand at; None where nothing is approved or no one height says it."""
    if not judged.approved or not _is_of_one_height(judged.as_left):
        return None
    return _highest(judged.as_left).height_text
