"""How a survey is judged: read beside DEVELOPERS.md, 'How a survey is judged'.

Outcome of a limit: `met`, `not-met`, `not-tested` (the figure is missing). Where points are missing, `lowest` and
`highest` still break a limit as soon as one reading does. A calibration that does not cover the day turns `met` into
`not-tested`; `not-met` stays. Outcome of a check: `yes` is met, `no` is not met, anything else is not tested.

A set is the traverses and answers of one state, as found or, where something was adjusted, as left (a complete second
set). Both are judged and kept; as left decides.

Outcome of an opening, the first line that holds:
    fail         a fail-limit or fail-check that applies here is not met
    no-verdict   a fail- or restrict-limit or -check that applies here is not tested, or a point has no reading
    restrict     a restrict-limit or -check that applies here is not met
    pass         otherwise, if a fail- or restrict-limit or -check applies here
    recorded     otherwise: neither approves nor bars

Approved, within a way of opening: the highest candidate that is pass or restrict with no fail or no-verdict candidate
tested below it, and each such candidate below. Of panels that slide aside the wider one is the higher, then the height.

Verdict, the first line that holds; openings that are no candidates count as the hood itself:
    fail         ended for a reason that stops a hood; a fail-limit or -check of the hood not met; a use in `must_pass` fails; a
                 candidate fails and none can be approved; or the survey would have no verdict and something failed as
                 left or as found, or, adjusted, as found ends in restrict: unfinished work never hides a failure
    no-verdict   ended for another reason; a fail- or restrict-limit or -check of the hood not tested; an opening to be tested has
                 no verdict or no traverse; no opening of a use in `must_pass` is tested; nothing can be approved; a
                 variable-volume hood not in occupied mode, a two-state one of which the state is not said; what its kind cannot pass without is not asked of it
    restrict     a candidate tested is neither approved nor recorded; or something with `restrict` is not met at an
                 approved opening or at the hood; or a canopy, which is never for hazardous vapours
    pass         otherwise
"""

from collections.abc import Iterator
from fractions import Fraction

from surveys.core import codes, traverse
from surveys.core.checks import CHECK
from surveys.core.criteria import Asked, Criteria, Limit
from surveys.core.entry import Answer, Document
from surveys.core.entry import Traverse as Entered
from surveys.core.facts import Facts, OpeningFacts
from surveys.core.hood_limits import judge_hood_limits
from surveys.core.judged import Judged, Judgement, OpeningJudged, SetJudged
from surveys.core.measured import figures_of, free_area_of, points_of
from surveys.core.messages import Message
from surveys.core.outcomes import NOT_TESTED, judge_checks, judge_limit
from surveys.core.sash import slides
from surveys.core.units import NotANumber
from surveys.core.units import length as length_in_m
from surveys.core.verdict import (
    COSTLY,
    FAIL,
    NO_VERDICT,
    PASS,
    RECORDED,
    RESTRICT,
    approvable_of,
    restriction_of,
    verdict_of,
)


def judge(document: Document, facts: Facts, criteria: Criteria) -> Judged:
    """Judge a survey by one version of criteria. What raises here is no verdict, never a pass (`could_not_be_judged`)."""
    ended_as_found = None if document.adjusted else document.ended_early
    found = _judge_set(document, facts, criteria, "as-found", ended_as_found, before=None)
    left = found
    if document.adjusted:
        left = _judge_set(document, facts, criteria, "as-left", document.ended_early, before=found)
    return Judged(
        as_found=found,
        as_left=left,
        verdict=left.verdict,
        approved=left.approved,
        label=_did_the_label_hold(found, facts.labelled),
        restriction=restriction_of(left, facts) if left.verdict == RESTRICT else None,
        reasons=left.reasons,
    )


def could_not_be_judged() -> Judged:
    """What is shown when judging itself fails: no verdict, nothing approved; it is never signed."""
    reason = (Message("could-not-be-judged"),)
    nothing = SetJudged((), (), NO_VERDICT, (), reason)
    return Judged(nothing, nothing, NO_VERDICT, (), NOT_TESTED, None, reason)


def _did_the_label_hold(found: SetJudged, labelled: tuple[str, ...] | None) -> str:
    if not labelled:
        return "no-label"
    if found.verdict == NO_VERDICT:
        return NOT_TESTED
    left = set(labelled) - set(found.approved)
    if not left:
        return "held"
    looked_at = any(each.is_tested for each in found.openings if each.opening in left)
    return "not-held" if looked_at or found.verdict == FAIL else NOT_TESTED


# --- a set ------------------------------------------------------------------------------------------------------------


def _judge_set(
    document: Document, facts: Facts, criteria: Criteria, state: str, ended: str | None, before: SetJudged | None
) -> SetJudged:
    answers = _answers_of(document, state)
    traverses = {entered.opening: entered for entered in document.traverses if entered.state == state and entered.begun}
    begun = set(traverses) | {answer.opening for answer in answers if answer.opening and answer.answer == "no"}
    if before is not None:  # as left is a complete second set: what was begun as found is measured again
        begun |= {opening.opening for opening in before.openings}
    openings = tuple(
        _judge_opening(known, document, facts, criteria, state, traverses.get(known.name), answers)
        for known in _in_order(facts, begun)
        if known.name in begun or known.every_survey or _is_named(_use(known, document, criteria), criteria)
    )
    hood: tuple[Judgement, ...] = (
        *judge_hood_limits(document, facts, criteria, state, answers),
        *judge_checks((a for a in criteria.checks if a.applies_to == "hood"), answers, None, facts),
    )
    approvable = approvable_of(openings)
    verdict, reasons = verdict_of(openings, hood, approvable, criteria, facts, ended, before, document.conditions)
    approved = approvable if verdict in (PASS, RESTRICT) else ()
    return SetJudged(openings, hood, verdict, approved, reasons)


def _in_order(facts: Facts, begun: set[str]) -> Iterator[OpeningFacts]:
    """The openings of the hood, in the order of its inventory; one that it does not know counts as `other`."""
    yield from facts.openings
    known = {opening.name for opening in facts.openings}
    yield from (OpeningFacts(name, "other") for name in sorted(begun - known))


def _answers_of(document: Document, state: str) -> tuple[Answer, ...]:
    """The answers that count in a state: an answer to a check of airflow only in its own, where something was adjusted."""
    return tuple(
        answer
        for answer in document.answers
        if answer.answer is not None
        and (
            answer.state == state or (answer.state is None and not (document.adjusted and CHECK[answer.check].airflow))
        )
    )


def _use(known: OpeningFacts, document: Document, criteria: Criteria) -> str:
    """The use that an opening counts as: a lower one under the least useful height counts as `other`."""
    measured = document.opening(known.name)
    height = _length(measured.height if measured else None)
    if known.use == "lower" and height is not None and height < criteria.least_height.to("m"):
        return "other"
    return known.use


def _length(text: str | None) -> Fraction | None:
    try:
        return length_in_m(text) if text else None
    except NotANumber:
        return None


def _is_named(use: str, criteria: Criteria) -> bool:
    """Whether a fail- or restrict-limit or -check names this use, so that its openings are to be tested."""
    return any(item.applies_to == use for item in criteria.costly)


def _applies(item: Limit | Asked, use: str) -> bool:
    return item.applies_to == use or (item.applies_to == "each" and use in codes.CANDIDATE_USES)


# --- an opening -------------------------------------------------------------------------------------------------------


def _judge_opening(
    known: OpeningFacts,
    document: Document,
    facts: Facts,
    criteria: Criteria,
    state: str,
    entered: Entered | None,
    answers: tuple[Answer, ...],
) -> OpeningJudged:
    measured = document.opening(known.name)
    use = _use(known, document, criteria)
    points, missing = points_of(known, measured, facts, criteria, state, entered)
    limits = [(index, limit) for index, limit in enumerate(criteria.limits) if _applies(limit, use)]
    limits = [(index, limit) for index, limit in limits if not limit.figure.of_hood and limit.figure.is_for(facts.hood)]
    figures = figures_of(points, limits, facts.hood)
    judgements: tuple[Judgement, ...] = (
        *(
            judge_limit(index, limit, figures, points, missing, known.name, facts, criteria.compare)
            for index, limit in limits
        ),
        *judge_checks((asked for asked in criteria.checks if _applies(asked, use)), answers, known.name, facts),
    )
    return OpeningJudged(
        opening=known.name,
        use=use,
        outcome=_outcome_of_opening(judgements, points),
        figures=figures,
        judgements=judgements,
        is_candidate=use in codes.CANDIDATE_USES,
        is_tested=entered is not None,
        way="" if facts.hood.sash == "vertical" else known.way or f"opening {known.name}",
        height=_length(measured.height if measured else None),
        height_text=measured.height if measured else None,
        missing=missing,
        free_area=free_area_of(points) if known.cover else None,
        width=_length(measured.width if measured else None),
        is_panel=slides(facts.hood.sash, known.way, known.name),
    )


def _outcome_of_opening(judgements: tuple[Judgement, ...], points: traverse.Traverse | None) -> str:
    costly = [judgement for judgement in judgements if judgement.consequence in COSTLY]
    if any(judgement.is_not_met and judgement.consequence == FAIL for judgement in costly):
        return FAIL
    if points is None or not points.complete or any(judgement.outcome == NOT_TESTED for judgement in costly):
        return NO_VERDICT
    if any(judgement.is_not_met for judgement in costly):
        return RESTRICT
    return PASS if costly else RECORDED
