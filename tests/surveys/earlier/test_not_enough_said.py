"""Hoods of which a list of earlier results cannot say enough to let them be used, told of before it is kept."""

from __future__ import annotations

from surveys.models import EarlierOpening
from tests.surveys.earlier.listed import HEADINGS, csv, keep, of, problems, send
from tests.surveys.words import said


def test_hoods_of_which_a_list_cannot_say_enough_are_told_of_before_it_is_kept(manager, hood, make_hood):
    filtered = [make_hood(kind="filtered").tag for _each in range(2)]
    two_state = make_hood(control="two-state").tag
    listed = [of(), *(of(tag=tag) for tag in filtered), of(tag=two_state)]
    words = said(send(manager, csv(*listed)))
    assert (
        "2 results are of filtered hoods. A list says nothing of their filters (type, date, approved materials" in words
    )
    assert "One result is of a two-state hood, and does not say which state was tested" in words
    assert "or one above the height" not in words, "nothing is said of the others"
    stated = csv(*listed[:-1], of(tag=two_state, state="Higher flow"), headings=(*HEADINGS, "state"))
    assert "two-state" not in said(send(manager, stated))
    keep(manager, stated)
    approve = {one.result.hood.tag: (one.approves, one.result.flow_state) for one in EarlierOpening.objects.all()}
    assert approve == {hood.tag: (True, ""), two_state: (True, "higher"), **dict.fromkeys(filtered, (False, ""))}
    assert "all 4 results are kept as it says" in said(send(manager, stated)), "i2: the same file again"


def test_a_state_is_one_of_a_two_state_hood(manager, hood):
    headings = (*HEADINGS, "state")
    sent = send(manager, csv(of(state="higher"), headings=headings))
    assert problems(sent) == [(2, "state", "FH-0142 is no two-state hood: empty this cell.")]
    ((row, column, why),) = problems(send(manager, csv(of(state="maximum"), headings=headings)))
    assert (row, column) == (2, "state")
    assert why.startswith("“maximum” is not one of these: higher, lower")
