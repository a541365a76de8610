"""Laws of results from earlier records beside what is signed here: they hold for every history."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from surveys.core.status import DO_NOT_USE, HIBERNATED, RETIRED, grants_label, status
from surveys.core.units import quantity
from surveys.core.verdicts import last_surveys
from tests.surveys.core.histories import BOTH, LOWER, WORKING, survey
from tests.surveys.core.test_status_laws import ON, a_history


@st.composite
def with_earlier(draw):
    """A history, and the same with accepted results from earlier records."""
    facts = draw(a_history())
    verdicts = draw(st.lists(st.tuples(ON, st.sampled_from(["pass", "restrict", "fail"])), min_size=1, max_size=3))
    earlier = [
        survey(100 + number, verdict, on.isoformat(), 0, signed_here=False, label_issue=None)
        for number, (on, verdict) in enumerate(verdicts)
    ]
    approved = {one.id: draw(st.sampled_from([(), (WORKING,), (LOWER,), BOTH])) for one in earlier}
    return facts, facts._replace(
        surveys=[*facts.surveys, *earlier],
        approved={**facts.approved, **{one.id: approved[one.id] for one in earlier if one.verdict != "fail"}},
    )


@given(with_earlier(), ON)
def test_i12_law_no_label_comes_of_an_earlier_record(histories, on):
    found = status(histories[1], on)
    if grants_label(found):
        assert next(one for one in histories[1].surveys if one.id == found.survey).signed_here


@given(with_earlier(), ON)
def test_i12_law_once_a_verdict_is_signed_here_earlier_records_let_nobody_do_more(histories, on):
    before, after = (status(facts, on) for facts in histories)
    if last_surveys(histories[0].surveys, on)[0] is not None:
        assert all(
            any(one.name == was.name and mm(one) <= mm(was) for was in before.approved) for one in after.approved
        )
        resting = after.code == before.code and after.code in (HIBERNATED, RETIRED)
        narrowed = (
            before.grants
            and not grants_label(after)
            and any(one.code == "earlier-record-restricted" for one in after.reasons)
        )
        assert after == before or after.code == DO_NOT_USE or resting or narrowed, "they bar, narrow, or change nothing"


def mm(opening):
    return quantity(opening.height).to("mm")


@given(with_earlier(), ON)
def test_i12_law_what_an_earlier_record_lets_be_used_says_so(histories, on):
    found = status(histories[1], on)
    if found.grants:
        by_earlier = (
            next(one for one in histories[1].surveys if one.id in (found.survey, found.earlier)).signed_here is False
        )
        assert by_earlier == (found.flag("not-signed-here") is not None) == (found.label_from_before is not None)
        assert by_earlier == (found.earlier is not None)


@given(with_earlier(), ON)
def test_law_an_earlier_failure_that_is_measured_last_bars_the_hood(histories, on):
    facts = histories[1]
    if any(event.kind in ("hibernated", "retired") for event in facts.events):
        return
    failed = survey(200, "fail", on.isoformat(), 23, signed_here=False)
    assert status(facts._replace(surveys=[*facts.surveys, failed]), on).code == DO_NOT_USE
