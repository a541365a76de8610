"""The reasons of a verdict, as messages: what of an opening or of the hood is not met or not tested."""

from collections.abc import Iterable, Iterator

from surveys.core.criteria import Criteria
from surveys.core.judged import CheckJudged, Judgement, LimitJudged, OpeningJudged
from surveys.core.messages import Message
from surveys.core.units import with_unit


def of_hood(judgement: Judgement, criteria: Criteria) -> Message:
    """A limit or a check of the hood that is not met."""
    values = {"consequence": judgement.consequence}
    if isinstance(judgement, CheckJudged):
        return Message("hood-check-not-met", {**values, "check": judgement.check})
    return Message("hood-limit-not-met", {**values, **_measured(judgement, criteria)})


def of_untested_hood(judgement: Judgement) -> Message:
    """A limit or a check of the hood that is not tested."""
    if isinstance(judgement, CheckJudged):
        return Message("hood-check-unsaid" if judgement.unsaid else "hood-check-not-tested", {"check": judgement.check})
    return judgement.because or Message("hood-figure-missing", {"figure": judgement.figure})


def of_opening(opening: OpeningJudged, criteria: Criteria, consequence: str) -> Iterator[Message]:
    """Each limit and check of this consequence that is not met at an opening."""
    for judgement in opening.judgements:
        if not judgement.is_not_met or judgement.consequence != consequence:
            continue
        values = {"opening": opening.opening, "consequence": consequence}
        if isinstance(judgement, CheckJudged):
            yield Message("check-not-met", {**values, "check": judgement.check})
        else:
            yield Message("limit-not-met", {**values, **_measured(judgement, criteria)})


def _measured(judgement: LimitJudged, criteria: Criteria) -> dict[str, str]:
    said, value = criteria.limits[judgement.limit].said(), judgement.value
    return {
        "figure": judgement.figure,
        "value": with_unit(value.shown, value.unit) if value else "",
        "limit": said.code,
        **said.values,
    }


COSTLY = ("fail", "restrict")


def of_untested(opening: OpeningJudged, consequences: tuple[str, ...] = COSTLY) -> Iterator[Message]:
    """What of an opening was not tested: its points first, then what the points do not explain, each once."""
    yield from opening.missing
    said = list(opening.missing)
    for judgement in opening.judgements:
        if judgement.outcome != "not-tested" or judgement.consequence not in consequences:
            continue
        if isinstance(judgement, CheckJudged):
            code = "check-unsaid" if judgement.unsaid else "check-not-tested"
            yield Message(code, {"opening": opening.opening, "check": judgement.check})
        elif judgement.because is not None and judgement.because not in said:
            said.append(judgement.because)
            yield judgement.because


def of_left(openings: Iterable[OpeningJudged], hood: Iterable[Judgement]) -> tuple[Message, ...]:
    """What was asked as a note alone and was not tested, and that the survey is not a full one then."""
    openings, hood = tuple(openings), tuple(hood)
    left = [one for one in (*hood, *(one for each in openings for one in each.judgements)) if one.outcome == "not-tested"]
    if not left:
        return ()
    named = [of_untested_hood(one) for one in hood if one.outcome == "not-tested"]
    for each in openings:
        if any(one.outcome == "not-tested" for one in each.judgements):
            named += of_untested(each, ("note",))
    return (*named, Message("not-full")) if any(is_undone(one) for one in left) else tuple(named)


def is_undone(judgement: Judgement) -> bool:
    """Whether something was left undone. A benchmark that was never set is none: nobody could have set it on this visit."""
    return judgement.outcome == "not-tested" and getattr(judgement, "figure", "") != "benchmark-ratio"
