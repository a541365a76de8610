"""What core says: a code and its values. The shell forms the sentence in the reader's language (surveys/wording.py).

A value under a key of `CODED` is itself a code, and the shell puts the words for it into the sentence; every other
value goes in as it stands. Records keep the code and the values, never the sentence.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field


def gettext_noop(text: str) -> str:
    """Mark a text for translation and hand it back unchanged: core never translates."""
    return text


_ = gettext_noop


@dataclass(frozen=True, slots=True)
class Message:
    """A code of SENTENCES with the values that its sentence needs."""

    code: str
    values: Mapping[str, str] = field(default_factory=dict)

    def as_dict(self) -> dict[str, object]:
        return {"code": self.code, "values": dict(self.values)}


@dataclass(frozen=True, slots=True)
class Problem:
    """What is wrong at one place of a document, such as `traverses.0.readings.1.2`."""

    path: str
    message: Message


class WrongShape(Exception):
    """The document has not the shape that was agreed; `problems` says where and why."""

    def __init__(self, problems: "tuple[Problem, ...] | list[Problem]") -> None:
        self.problems = tuple(problems)
        super().__init__("; ".join(f"{p.path}: {p.message.code}" for p in self.problems))


# Keys of values that hold a code, with the list that has the words for it (see surveys/wording.py).
CODED = ("figure", "check", "ending", "use", "state", "verdict", "outcome", "consequence", "panel", "above")

SENTENCES: dict[str, str] = {
    # numbers and units
    "number-comma": _(
        "“%(text)s” has a comma. Write decimals after a point and thousands without a mark, such as %(example)s."
    ),
    "number-half": _("“%(text)s” lacks a digit before or after the point. Write it in full, such as %(example)s."),
    "number-plain": _("“%(text)s” is not a plain number. Write digits and at most one point, such as %(example)s."),
    "number-digits": _(
        "“%(text)s” has characters other than the digits 0 to 9 and a point. Type it again with the number keys."
    ),
    "number-negative": _("%(text)s is negative. A reading is zero or more: write it without the sign."),
    "opening-too-large": _("An opening of %(text)s would have more than %(most)s points on a side. Is the size right?"),
    "size-above-most": _("“%(text)s” is more than %(most)s: check the number and its unit."),
    "number-not-positive": _("%(text)s is not above zero. Write the size that was measured."),
    "number-decimals": _(
        "%(text)s has more decimals than the instrument shows, which reads to %(resolution)s. Write what it showed."
    ),
    "number-above-instrument": _(
        "%(text)s %(unit)s is above the highest velocity of the instrument, %(highest)s. "
        "Check the reading and the unit, or use another instrument."
    ),
    "unit-joined": _("“%(text)s” has no gap between the number and its unit. Write it with one, such as %(example)s."),
    "unit-missing": _("“%(text)s” has no unit. Write the number and its unit, such as %(example)s."),
    "unit-unknown": _("“%(unit)s” is no unit that is used here. Write one of %(units)s."),
    "unit-wrong-kind": _("%(text)s is in the wrong kind of unit. Write it in one of %(units)s."),
    "temperature-out-of-range": _("%(text)s is outside 5 to 40 °C. Is the point missing? Write what was read."),
    "pressure-out-of-range": _("%(text)s is outside 600 to 1100 hPa. Write the pressure as read in the room."),
    "points-unreadable": _("“%(text)s” are no points. Write them parted by blanks, rows by a slash, such as %(example)s."),
    "points-without-unit": _("“%(text)s” has no unit at its end. Write the points and their unit, such as %(example)s."),
    "average-not-of-points": _(
        "%(text)s is not the average of the points, which is %(points)s. Put the points right, or leave one of the two empty."
    ),
    "lowest-above-average": _("%(text)s is above the average, and the lowest point never is. Write what the record says."),
    # shape of a document
    "json-broken": _("This is not JSON: %(what)s."),
    "key-twice": _("The key “%(key)s” stands twice. Each may stand once."),
    "key-unknown": _("“%(key)s” is not known here. Known are: %(known)s."),
    "key-missing": _("“%(key)s” is missing here."),
    "shape-wrong": _("Here stands %(found)s where %(wanted)s belongs."),
    "number-as-text": _("Numbers are written as text, as they were typed: “98” and not 98."),
    "code-unknown": _("“%(text)s” is not one of %(known)s."),
    "text-too-long": _("This text has %(length)s characters; at most %(most)s are kept."),
    "text-control": _("This text has a character that cannot be stored. Type it again without pasting."),
    "too-many": _("Here are %(number)s; at most %(most)s are kept."),
    "rows-unequal": _("The rows of a grid have the same number of points; this one has %(number)s, not %(wanted)s."),
    # content of a survey document
    "opening-unknown": _("The hood has no opening “%(opening)s”. Add it to the hood first."),
    "opening-twice": _("The opening “%(opening)s” stands twice. Give its size once."),
    "opening-size-missing": _("The size of “%(opening)s” is missing. Measure and write its width and height."),
    "opening-of-no-part": _(
        "Nobody has said which part of its sash “%(opening)s” is. The programme manager says so in the inventory of the "
        "hood; then this survey is signed."
    ),
    "opening-of-another-sash": _(
        "“%(opening)s” is a part of a sash that the hood no longer has. The programme manager puts its openings right in the "
        "inventory of the hood; then this survey is signed."
    ),
    "traverse-twice": _(
        "“%(opening)s” has two traverses %(state)s. Strike the one that does not count, with a reason."
    ),
    "traverse-unit-missing": _("The unit of the readings is missing. Choose the one the instrument showed."),
    "left-without-adjusted": _(
        "Readings or answers were entered as left, but nothing was adjusted. If something was, answer yes; if not, "
        "answer yes, empty them, and answer no again."
    ),
    "struck-without-reason": _("A struck reading needs a reason. Write why it does not count."),
    "moment-outside": _(
        "This reading has a moment outside the survey (%(at)s). Set the clock of the device, then strike it and read "
        "the point again."
    ),
    "other-hood": _("The hood in front of you is another: start the survey at that one, or end this one."),
    "not-fit": _("Not fit to work at: end the survey by Stop (not cleared)."),
    "of-hood-twice": _("%(figure)s stands twice. Keep one of them."),
    "alarm-twice": _("The test of the alarm stands twice. Keep one of them."),
    "alarm-did-not": _("The check of the alarm is answered yes, and this says that it did not. Put one of them right."),
    "answer-twice": _("This check is answered twice. Keep one answer."),
    "day-plain": _("“%(text)s” is no day. Write year, month and day, such as 2027-03-12."),
    "day-long-ago": _("The year of “%(text)s” cannot be meant. Write the day anew."),
    "day-after-survey": _(
        "%(on)s is after the day of the survey, %(done_on)s: it cannot have been fitted by then. Write the day that stands on it."
    ),
    "reason-missing": _("The reason for the survey is missing. Choose one."),
    "instrument-missing": _("The instrument is missing. Choose the one the readings were taken with."),
    # soft questions
    "reading-ten-times": _("%(text)s is five times the other readings (%(rest)s) or more. Is it right?"),
    "reading-a-tenth": _("%(text)s is a fifth of the other readings (%(rest)s) or less. Is it right?"),
    "reading-zero": _("A reading of zero is far below the other readings (%(rest)s). Is it right?"),
    "reading-off-the-rest": _("%(text)s is more than a quarter off the middle of the other readings (%(rest)s). Is it right?"),
    "four-alike": _("%(number)s readings in a row are alike (%(text)s). Was each one read anew?"),
    "all-zero": _("All readings are zero. Is the meter on, zeroed and uncovered?"),
    "below-instrument": _("%(text)s is below the lowest velocity of the instrument, %(lowest)s. Is it right?"),
    "height-off-register": _("The register says %(register)s, and %(text)s is written as the height. Was it measured so?"),
    "width-off-register": _("The register says %(register)s, and %(text)s is written as the width. Was it measured so?"),
    "height-off-others": _("The highest such opening of this hood is %(register)s. Is this one %(text)s high?"),
    "width-off-others": _("The other openings of this hood are %(register)s wide. Is this one %(text)s wide?"),
    # soft questions as they were asked, and their answers, for reading
    "question-reading-ten-times": _("%(text)s is five times the other readings or more"),
    "question-reading-a-tenth": _("%(text)s is a fifth of the other readings or less"),
    "question-reading-zero": _("a reading of zero is far below the other readings"),
    "question-reading-off-the-rest": _("%(text)s is more than a quarter off the middle of the other readings"),
    "question-four-alike": _("readings in a row are alike (%(text)s)"),
    "question-all-zero": _("all readings are zero"),
    "question-below-instrument": _("%(text)s is below the lowest velocity of the instrument"),
    "question-height-off-register": _("the height of ‘%(opening)s’, %(text)s, was far from the register"),
    "question-width-off-register": _("the width of ‘%(opening)s’, %(text)s, was far from the register"),
    "question-height-off-others": _("the height of ‘%(opening)s’, %(text)s, was far above every other opening"),
    "question-width-off-others": _("the width of ‘%(opening)s’, %(text)s, was far from the other openings"),
    "answered-stays": _("right, it stays"),
    "answered-struck": _("wrong, struck and read again"),
    "answered-height-off-register-stays": _("it was measured so"),
    "answered-width-off-register-stays": _("it was measured so"),
    "answered-height-off-others-stays": _("it was measured so"),
    "answered-width-off-others-stays": _("it was measured so"),
    "answered-four-alike-stays": _("each was read anew, they stay"),
    "answered-four-alike-struck": _("not each was read anew, struck and read again"),
    "answered-all-zero-stays": _("there is no flow, they stay"),
    "answered-all-zero-struck": _("wrong, the traverse was struck and begun anew"),
    # why a limit or check is not tested
    "no-traverse": _("“%(opening)s” was not measured %(state)s."),
    "points-on-another-grid": _(
        "“%(opening)s”: %(read)s points were read %(state)s in %(columns)s by %(rows)s, and the size measured asks for "
        "%(wanted_columns)s by %(wanted_rows)s. Read it again on that grid, or put the size right."
    ),
    "points-missing": _("“%(opening)s”: %(missing)s of %(number)s points have no reading %(state)s."),
    "reading-covered": _(
        "“%(opening)s”: a reading stands where it is covered (%(cover)s). Strike it, or put the size or what covers it right."
    ),
    "free-area": _("Covered in part: %(cover)s. Free area %(area)s of %(whole)s: no point lies behind, and the flow is that of the free part."),
    "flow-state-not-said": _(
        "A two-state hood is judged in the state that was tested, and this survey does not say which: choose it under Conditions."
    ),
    "no-trial-sash": _(
        "No height to try is worked out: it would hold for one vertical sash alone. Measure at another opening."
    ),
    "no-trial-auxiliary-air": _(
        "No height to try is worked out: a part of the air comes from the auxiliary supply. Measure at a lower one."
    ),
    "no-trial-variable-volume": _(
        "No height to try is worked out: the control changes the flow with the sash. Confirm that the flow is at its "
        "maximum, and say so under Conditions (which state was tested)."
    ),
    "no-trial-two-state": _(
        "No height to try is worked out: the flow is not the same in both states. Measure at a lower one."
    ),
    "no-trial-bypass": _(
        "No height to try is worked out: as the sash is lowered the bypass takes a part of the flow. Measure at a lower one."
    ),
    "no-trial-covered": _(
        "No height to try is worked out: a part of the opening is covered (%(cover)s), so its area does not follow its "
        "height. Measure at a lower one."
    ),
    "no-free-point": _(
        "What covers “%(opening)s” leaves no place for a point of its grid: put right what covers it, or the size."
    ),
    "size-missing": _("“%(opening)s” has no measured size, so its points cannot be planned."),
    "benchmark-missing": _("“%(opening)s” has no benchmark to compare with."),
    "monitor-missing": _("“%(opening)s”: what the monitor showed was not written down."),
    "mark-missing": _("“%(opening)s”: the register says no mark of the gauge (its set point) to compare with."),
    "hood-figure-missing": _("%(figure)s: not measured."),
    "alarm-point-missing": _("Alarm: the register says no alarm point to compare with."),
    "alarm-point-otherwise": _("Alarm: it tripped at %(trip)s, and its alarm point is %(point)s: they cannot be compared."),
    "points-excluded": _("“%(opening)s”: every point lies too near the edge to count."),
    "average-zero": _("“%(opening)s”: the average is zero, so nothing can be a percentage of it."),
    "one-point": _("“%(opening)s” has one point, so nothing can be said of its scatter."),
    "calibration-does-not-cover": _(
        "The calibration of the instrument does not cover the day of the survey: no limit on its readings can be met."
    ),
    # reasons of a verdict
    "all-met": _("All that the criteria ask was tested and met."),
    "decisive-met": _("All that decides whether the hood is used was tested and met."),
    "not-full": _("Not a full survey: not all that the criteria ask was tested."),
    "ended-and-stopped": _("The survey was ended because the hood must not be used: %(ending)s."),
    "ended-and-left": _("The survey was ended before everything was tested: %(ending)s."),
    "limit-not-met": _("“%(opening)s”: %(figure)s %(value)s, %(limit)s: not met (%(consequence)s)."),
    "check-not-met": _("“%(opening)s”: %(check)s: not as it should be (%(consequence)s)."),
    "check-not-tested": _("“%(opening)s”: %(check)s: not tested."),
    "hood-limit-not-met": _("%(figure)s %(value)s, %(limit)s: not met (%(consequence)s)."),
    "hood-check-not-met": _("%(check)s: not as it should be (%(consequence)s)."),
    "hood-check-not-tested": _("%(check)s: not tested."),
    "check-unsaid": _("“%(opening)s”: %(check)s: answered yes, but what belongs beside the answer is not written: not tested."),
    "hood-check-unsaid": _("%(check)s: answered yes, but what belongs beside the answer is not written: not tested."),
    "check-undecided": _("%(check)s: the criteria do not say yet what this check costs."),
    "must-pass-failed": _("The criteria ask that an opening of the use “%(use)s” passes, and “%(opening)s” fails."),
    "must-pass-not-tested": _("The criteria ask for an opening of the use “%(use)s”, and none was measured."),
    "barred-from-below": _("“%(opening)s” is not approved: the lower “%(lower)s” is not."),
    "barred-by-narrower": _("“%(opening)s” is not approved: the narrower “%(lower)s” is not."),
    "kind-needs-check": _(
        "%(check)s: a hood of this kind has no verdict without it, and these criteria do not ask it at the cost of a use."
    ),
    "not-in-occupied-mode": _("A variable-volume hood is judged in its occupied, normal mode, and it was not in it."),
    "canopy-only": _("A canopy is never for hazardous vapours, and no label allows work under it."),
    "none-approved": _("No opening can be approved."),
    "unfinished": _("What failed counts until the rest is shown whole: unfinished work does not hide a failure."),
    "unfinished-as-found": _("As found ended in “%(verdict)s”, and as left is unfinished: what was found counts."),
    "unfinished-after-restrict": _(
        "As found it ended in “restrict”; then it was adjusted, and as left is unfinished. Nothing shows how it is now, so it "
        "fails until it is surveyed whole."
    ),
    "could-not-be-judged": _("The survey could not be judged. Nothing is met; tell whoever keeps the program."),
    "record-not-judged-again": _("Its record cannot be judged again by this release. The verdict that it holds stands."),
    # status of a hood
    "retired": _("The hood was retired on %(on)s."),
    "hibernated": _("The hood has been hibernated since %(on)s."),
    "stopped": _("Do not use: posted on %(on)s."),
    "stopped-no-flow": _("Do not use, posted on %(on)s: no air is drawn in."),
    "stopped-smoke-came-out": _("Do not use, posted on %(on)s: smoke came out."),
    "stopped-glass-broken": _("Do not use, posted on %(on)s: the glass is broken."),
    "stopped-sash-does-not-stay": _("Do not use, posted on %(on)s: the sash does not stay where it is put."),
    "stopped-other-danger": _("Do not use, posted on %(on)s: another danger."),
    "last-survey-failed": _("The survey of %(on)s found that the criteria are not met."),
    "survey-overdue": _("The survey was due on %(due_on)s; by the site's criteria use has ended since %(on)s."),
    "out-of-service": _("Out of service since %(on)s."),
    "out-of-service-until": _("Out of service from %(on)s to %(until_on)s."),
    "never-surveyed": _("No survey has had a verdict yet."),
    "not-surveyed-since-installed": _("Installed on %(on)s and not surveyed since."),
    "not-surveyed-since-moved": _("Moved on %(on)s and not surveyed since."),
    "not-surveyed-since-woken": _("Woken from hibernation on %(on)s and not surveyed since."),
    "nothing-approved": _("No opening stands approved by the last survey."),
    "kind-changed-since": _("The kind of this hood was changed since it was measured, which ended every approval."),
    "control-changed-since": _("The volume control of this hood was changed since it was measured, which ended every approval."),
    "sash-changed-since": _("The sash of this hood was changed since it was measured, which ended every approval."),
    "opening-changed-since": _("An opening was changed since it was measured, which ended its approval."),
    "last-survey-passed": _("The survey of %(on)s found the criteria met."),
    "last-survey-restricted": _("The survey of %(on)s found the criteria met with a restriction."),
    "earlier-record-passed": _("The record of %(on)s says that the criteria were met: from earlier records, not signed here."),
    "earlier-record-restricted": _(
        "The record of %(on)s says that the criteria were met with a restriction: from earlier records, not signed here."
    ),
    "earlier-record-failed": _(
        "The record of %(on)s says that the criteria were not met: from earlier records, not signed here."
    ),
    "earlier-record-says-no-height": _(
        "From earlier records, not signed here: the record says no height, so no opening stands approved by it."
    ),
    "earlier-record-of-canopy": _(
        "From earlier records, not signed here: a canopy is for heat and steam alone, and no record lets anybody work under it."
    ),
    "earlier-record-of-filtered": _(
        "From earlier records, not signed here: they say nothing of its filter (type, date, approved materials, breakthrough), "
        "and without that no filtered hood is used."
    ),
    "earlier-record-of-two-state": _(
        "From earlier records, not signed here: the record does not say which state of this two-state hood was tested, and "
        "without that it is not used."
    ),
    "earlier-record-approves-nothing": _(
        "From earlier records, not signed here: the record approves no opening as this hood has it."
    ),
    "label-from-before": _(
        "This ledger has printed no label for it. Go by the label on the hood; where it has none, do not use it and ask "
        "the safety office."
    ),
    "label-void": _("The label on it is void: take it off."),
    # why there is no label
    "no-label-not-signed-here": _(
        "No label and no certificate is printed: the result is from earlier records, not signed here. A survey that is "
        "signed here gives them."
    ),
    "no-label-for-status": _("No label is printed for a hood with this status."),
    "no-label-opening-changed": _("No label is printed: an opening was changed since it was measured."),
    "no-label-earlier-restricts": _(
        "No label is printed: a result from earlier records, measured after the last survey here, restricts the hood."
    ),
    "no-label-stop-not-moved": _(
        "No label is printed: the survey allows a lower height, and moving the stop and mark there was not confirmed."
    ),
    "no-label-canopy": _("No label is printed for a canopy: it is for heat and steam alone. Its sign says so."),
    "no-label-not-full": _(
        "No label is printed: no survey has yet tested in full what the criteria ask, so there is no day by which it is due."
    ),
    "no-label-issued": _("No label is printed: the last survey issued none."),
    "unlabelled": _(
        "It has no valid label: the last survey issued none. Take any old label off. Do not use it until it is "
        "labelled; ask the safety office."
    ),
    "unlabelled-canopy": _(
        "A canopy gets no label: it draws off heat and steam alone, never hazardous vapours. Take any label off, and hang "
        "its sign; ask the safety office about anything else."
    ),
    "unlabelled-not-full": _(
        "It has no valid label: not all that the criteria ask was tested, so there is no day by which it is due. Take any old "
        "label off. Do not use it until it is surveyed in full and labelled; ask the safety office."
    ),
    "unlabelled-stop-not-moved": _(
        "It has no valid label: the stop and its mark were not confirmed at %(height)s. Take the old label off. Do not "
        "use it until it is labelled; ask the safety office."
    ),
    "unlabelled-opening-changed": _(
        "It has no valid label: an opening was changed since it was measured. Take the old label off. Do not use it "
        "until it is labelled; ask the safety office."
    ),
    "unlabelled-earlier-restricts": _(
        "It has no valid label: a result from earlier records, measured after the last survey here, restricts the hood. "
        "Take the old label off. Do not use it until it is surveyed and labelled; ask the safety office."
    ),
    # titles and restrictions
    "title-certificate": _("Certificate of survey"),
    "title-restricted": _("Certificate of survey, restricted: %(restriction)s"),
    "title-not-met": _("Survey report: criteria not met"),
    "title-no-verdict": _("Survey report: no verdict"),
    "restriction-height": _("sash no higher than %(height)s"),
    "restriction-opening": _("opening %(opening)s not to be used"),
    "restriction-opening-named": _("opening ‘%(opening)s’ not to be used"),  # of a name that would run into the sentence
    "restriction-openings": _("openings ‘%(openings)s’ not to be used"),
    # how far each sash may be open
    "open-canopy": _("heat and steam alone"),
    "open-canopy-front": _("no sash: heat and steam alone"),
    "open-sash": _("sash at or below %(height)s"),
    "open-sash-above": _("sash at or below %(height)s above %(above)s"),
    "open-sash-covered": _("sash at or below %(height)s, with %(cover)s in place"),
    "open-sash-covered-above": _("sash at or below %(height)s above %(above)s, with %(cover)s in place"),
    "cover-stays": _("opening ‘%(opening)s’: with %(cover)s in place"),
    "tested-at-higher-flow": _("tested at its higher flow, not approved at its lower"),
    "tested-at-lower-flow": _("tested at its lower flow, not approved at its higher"),
    "open-frame": _("frame at or below %(height)s, panels closed"),
    "open-frame-above": _("frame at or below %(height)s above %(above)s, panels closed"),
    "open-frame-alone": _("frame at or below %(height)s"),
    "open-frame-alone-above": _("frame at or below %(height)s above %(above)s"),
    "set-frame": _("frame raised to %(height)s, panels closed"),
    "open-panel": _("%(panel)s open"),
    "open-panel-frame-down": _("%(panel)s open, frame down"),
    "open-panel-to": _("%(panel)s open to %(width)s at most"),
    "open-panel-to-frame-down": _("%(panel)s open to %(width)s at most, frame down"),
    "only-panel": _("%(panel)s only"),
    "only-panel-frame-down": _("%(panel)s only, frame down"),
    "only-panel-to": _("%(panel)s only, to %(width)s at most"),
    "only-panel-to-frame-down": _("%(panel)s only, to %(width)s at most, frame down"),
    "open-together": _("panels open together"),
    "open-together-frame-down": _("panels open together, frame down"),
    "open-together-to": _("panels open together to %(width)s at most"),
    "open-together-to-frame-down": _("panels open together to %(width)s at most, frame down"),
    "only-together-frame-down": _("panels only, open together, frame down"),
    "only-together-to-frame-down": _("panels only, open together to %(width)s at most, frame down"),
    "open-as-named": _("opening ‘%(opening)s’"),
    "open-without-sash": _("no sash: opening ‘%(opening)s’, %(height)s high"),
    "called-frame": _("frame, %(height)s"),
    "called-together": _("panels together"),
    "called-panel": _("%(panel)s"),
    "called-as-named": _("‘%(opening)s’"),
    "never-frame-with-panels": _("never raise the frame with panels open"),
    "one-panel-at-a-time": _("one panel open at a time"),
    "one-panel-others-closed": _("one panel open at a time, all others closed"),
    "each-alone": _("each alone, nothing else open"),
    "nothing-else-open": _("nothing else open"),
    "shut-frame": _("frame stays down"),
    "shut-panel": _("%(panel)s stays closed"),
    "shut-two-panels": _("%(panel)s stay closed"),
    "shut-panel-and-others": _("%(panel)s and all others stay closed"),
    "shut-panel-alone": _("%(panel)s never open alone"),
    "shut-others": _("all other panels stay closed"),
    "shut-panels": _("panels stay closed"),
    # limits, said
    "at-least": _("at least %(least)s"),
    "at-most": _("at most %(most)s"),
    "between": _("from %(least)s to %(most)s"),
    # criteria that cannot be adopted
    "limit-without-bound": _("This limit says neither at least nor at most. Write one of them."),
    "limit-bounds-crossed": _(
        "At least %(least)s is above at most %(most)s: nothing could meet it. Swap or mend them."
    ),
    "limit-not-above-zero": _("%(text)s is not above zero, so this limit says nothing. Write a value above zero."),
    "limit-not-on-hood": _("%(figure)s is a figure of the hood, not of an opening. Choose “the hood”."),
    "limit-on-hood": _("A limit on a figure applies to openings, not to the hood. Choose “each” or a use."),
    "percent-wanted": _("%(figure)s is judged in percent. Write it such as 20 %%, not %(text)s."),
    "ratio-wanted": _("%(figure)s is judged as a ratio. Write it such as 0.90, not %(text)s."),
    "restriction-missing": _("A consequence of “restrict” needs its words: the use that is excluded."),
    "consequence-undecided": _("%(check)s: choose what it costs when it is not as it should be."),
    "nothing-for-working": _(
        "No limit or check with the consequence fail or restrict applies to working openings. Add one."
    ),
    "asked-twice": _("%(check)s is asked twice for the same openings. Keep one of them."),
    "size-not-above-zero": _("%(text)s is not above zero. Write a size above zero."),
    "height-out-of-reach": _("A least useful height of %(text)s is more than %(most)s: no lower opening reaches it."),
    "limits-never-both": _(
        "No opening can meet this together with limit %(number)s: at least %(least)s is wanted, and at most %(most)s."
    ),
    "months-out-of-range": _("%(text)s months is outside 1 to 60. Write after how many months a hood is due again."),
    "days-out-of-range": _("%(text)s days is outside 0 to 366. Write whole days."),
    "whole-number-wanted": _("“%(text)s” is not a whole number. Write digits alone, such as 12."),
    "grid-mixed": _(
        "Write one rule for the grid: area and edge of a cell, or margin and spacing, or a number of points."
    ),
    "grid-points": _("“%(text)s” is no number of points. Write a whole number from 1 to %(most)s, such as 9."),
    "grid-too-fine": _(
        "This grid is finer than can be measured. Write an area of at least 10 in² and an edge of 3 in."
    ),
    "exclusion-too-wide": _(
        "An edge exclusion of %(text)s would leave out points in the middle of their cell. Write less than %(most)s."
    ),
}
