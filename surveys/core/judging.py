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
tested below it, and each such candidate below.

Verdict, the first line that holds; openings that are no candidates count as the hood itself:
    fail         ended for a reason that stops a hood; a fail-check of the hood not met; a use in `must_pass` fails; a
                 candidate fails and none can be approved; or the survey would have no verdict and something failed as
                 left or as found, or, adjusted, as found ends in restrict: unfinished work never hides a failure
    no-verdict   ended for another reason; a fail- or restrict-check of the hood not tested; an opening to be tested has
                 no verdict or no traverse; no opening of a use in `must_pass` is tested; nothing can be approved; a
                 variable-volume hood not in occupied mode; what its kind cannot pass without is not asked of it
    restrict     a candidate tested is neither approved nor recorded; or something with `restrict` is not met at an
                 approved opening or at the hood; or a canopy, which is never for hazardous vapours
    pass         otherwise
"""

from collections.abc import Iterator
from fractions import Fraction

from surveys.core import codes, reasons, traverse
from surveys.core.checks import CHECK, INDISPENSABLE, Check
from surveys.core.criteria import Asked, Criteria, Limit
from surveys.core.entry import Answer, Document, MeasuredOpening
from surveys.core.entry import Traverse as Entered
from surveys.core.facts import Facts, OpeningFacts
from surveys.core.judged import CheckJudged, Judged, Judgement, OpeningJudged, SetJudged, words_not_met
from surveys.core.messages import Message
from surveys.core.outcomes import NOT_TESTED, figures_of, judge_checks, judge_limit, points_of
from surveys.core.units import NotANumber
from surveys.core.units import length as length_in_m

PASS, RESTRICT, FAIL, NO_VERDICT, RECORDED = "pass", "restrict", "fail", "no-verdict", "recorded"
COSTLY = ("fail", "restrict")
OCCUPIED = (None, "", "normal")  # the modes of a variable-volume hood in which it can be judged: none noted, or occupied
CANOPY, NOT_FOR_VAPOURS = "canopy", "not for hazardous vapours"


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
        restriction=_restriction(left, facts) if left.verdict == RESTRICT else None,
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
    return "held" if set(labelled) <= set(found.approved) else "not-held"


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
    hood = judge_checks((a for a in criteria.checks if a.applies_to == "hood"), answers, None, facts)
    approvable = _approvable(openings)
    mode = document.conditions.get("mode")
    verdict, reasons = _verdict(openings, hood, approvable, criteria, facts, ended, before, mode)
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
    height = _length(document.opening(known.name))
    if known.use == "lower" and height is not None and height < criteria.least_height.to("m"):
        return "other"
    return known.use


def _length(measured: MeasuredOpening | None) -> Fraction | None:
    try:
        return length_in_m(measured.height) if measured and measured.height else None
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
    if facts.hood.monitor != "velocity":
        limits = [(index, limit) for index, limit in limits if limit.figure.code != "monitor-error-percent"]
    figures = figures_of(points, limits)
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
        height=_length(measured),
        height_text=measured.height if measured else None,
        missing=missing,
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


# --- approval and verdict ---------------------------------------------------------------------------------------------


def _approvable(openings: tuple[OpeningJudged, ...]) -> tuple[str, ...]:
    """The candidates that can be approved: nobody is approved at or above a height that failed or has no verdict."""
    return tuple(
        opening.opening
        for opening in openings
        if opening.is_candidate and opening.outcome in (PASS, RESTRICT) and _barred_by(opening, openings) is None
    )


def _barred_by(opening: OpeningJudged, openings: tuple[OpeningJudged, ...]) -> OpeningJudged | None:
    for other in openings:
        if other is opening or other.way != opening.way or not (other.is_candidate and other.is_tested):
            continue
        below = other.height is None or opening.height is None or other.height <= opening.height
        if below and other.outcome in (FAIL, NO_VERDICT):
            return other
    return None


def _verdict(
    openings: tuple[OpeningJudged, ...],
    hood: tuple[CheckJudged, ...],
    approvable: tuple[str, ...],
    criteria: Criteria,
    facts: Facts,
    ended: str | None,
    before: SetJudged | None,
    mode: str | None,
) -> tuple[str, tuple[Message, ...]]:
    """The first line that has a reason decides."""
    failing = tuple(_why_fail(openings, hood, approvable, criteria, ended))
    if failing:
        return FAIL, failing
    lacking = tuple(_why_no_verdict(openings, hood, approvable, criteria, facts, ended, mode))
    if lacking:
        failed = tuple(_why_unfinished_fails(openings, before, criteria))
        return (FAIL, failed + lacking) if failed else (NO_VERDICT, lacking)
    restricting = tuple(_why_restrict(openings, hood, approvable, criteria, facts))
    return (RESTRICT, restricting) if restricting else (PASS, (Message("all-met"),))


def _why_fail(
    openings: tuple[OpeningJudged, ...],
    hood: tuple[CheckJudged, ...],
    approvable: tuple[str, ...],
    criteria: Criteria,
    ended: str | None,
) -> Iterator[Message]:
    if ended in codes.REASONS_THAT_STOP_A_HOOD:
        yield Message("ended-and-stopped", {"ending": ended})
    for judgement in hood:
        if judgement.is_not_met and judgement.consequence == FAIL:
            yield reasons.of_hood_check(judgement)
    for opening in openings:
        must_pass = opening.use in criteria.must_pass
        if opening.outcome == FAIL and must_pass:
            yield Message("must-pass-failed", {"use": opening.use, "opening": opening.opening})
        if opening.outcome == FAIL and (must_pass or not opening.is_candidate or not approvable):
            yield from reasons.of_opening(opening, criteria, FAIL)


def _why_no_verdict(
    openings: tuple[OpeningJudged, ...],
    hood: tuple[CheckJudged, ...],
    approvable: tuple[str, ...],
    criteria: Criteria,
    facts: Facts,
    ended: str | None,
    mode: str | None,
) -> Iterator[Message]:
    if ended is not None:
        yield Message("ended-and-left", {"ending": ended})
    for judgement in hood:
        if judgement.outcome == NOT_TESTED and judgement.consequence in COSTLY:
            yield Message("hood-check-not-tested", {"check": judgement.check})
    for asked in criteria.checks:
        if asked.consequence == "undecided" and asked.check.is_for(facts.hood):
            yield Message("check-undecided", {"check": asked.check.code})
    yield from _why_not_of_this_kind(criteria, facts)
    if facts.hood.control == "variable-volume" and mode not in OCCUPIED:
        yield Message("not-in-occupied-mode")
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
        yield Message("unfinished-as-found", {"verdict": before.verdict})
        yield from before.reasons


def _why_restrict(
    openings: tuple[OpeningJudged, ...],
    hood: tuple[CheckJudged, ...],
    approvable: tuple[str, ...],
    criteria: Criteria,
    facts: Facts,
) -> Iterator[Message]:
    for opening in openings:
        if is_left_out(opening, approvable):
            yield from reasons.of_opening(opening, criteria, FAIL)
            lower = _barred_by(opening, openings)
            if lower is not None:
                yield Message("barred-from-below", {"opening": opening.opening, "lower": lower.opening})
        elif opening.opening in approvable or not opening.is_candidate:
            yield from reasons.of_opening(opening, criteria, RESTRICT)
    for judgement in hood:
        if judgement.is_not_met and judgement.consequence == RESTRICT:
            yield reasons.of_hood_check(judgement)
    if facts.hood.kind == CANOPY:
        yield Message("canopy-only")


def _restriction(left: SetJudged, facts: Facts) -> dict[str, object]:
    """What is excluded: a larger opening, openings by name, a use. It stands on measurement, never on calculation."""
    made: dict[str, object] = {}
    unapproved = [opening for opening in left.openings if is_left_out(opening, left.approved)]
    if unapproved:
        if len({opening.way for opening in left.openings if opening.is_candidate}) == 1:
            made["largest_opening"] = _highest(left).height_text
        else:
            made["not_openings"] = [opening.opening for opening in unapproved]
    words = [
        *(w for o in left.openings if o.opening in left.approved or not o.is_candidate for w in o.restrictions),
        *words_not_met(left.hood),
        *([NOT_FOR_VAPOURS] if facts.hood.kind == CANOPY else []),
    ]
    if words:
        made["use"] = "; ".join(dict.fromkeys(words))
    return made


def is_left_out(opening: OpeningJudged, approved: tuple[str, ...]) -> bool:
    """Whether a candidate was tested and is neither approved nor merely recorded."""
    return (
        opening.is_candidate and opening.is_tested and opening.opening not in approved and opening.outcome != RECORDED
    )


def _highest(judged: SetJudged) -> OpeningJudged:
    approved = [opening for opening in judged.openings if opening.opening in judged.approved]
    return max(approved, key=lambda opening: opening.height or Fraction(0))


def highest_approved(judged: Judged) -> str | None:
    """The height, as measured, that the sash may stand at; None where nothing is approved or openings have several ways."""
    if not judged.approved or len({o.way for o in judged.as_left.openings if o.is_candidate}) != 1:
        return None
    return _highest(judged.as_left).height_text
