"""The print of a year: nothing over anything else, no line off the page, each page says of how many it is one."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from fractions import Fraction

import pytest

from reports.core.period import Period
from reports.core.year import (
    CalibrationRow,
    InstrumentRow,
    LimitRow,
    PersonRow,
    QualificationRow,
    Reassigned,
    Stamp,
    StopRow,
    Told,
    VersionRow,
    Year,
    flows,
)
from reports.core.yearly import count
from reports.core.yearly_exceptions import delay, failures, late, measured, no_verdicts, surveyors
from reports.core.yearly_tables import tables
from reports.pdf.annual import annual
from reports.pdf.wording import Wording
from tests.reports.core.yearly_made import hood, status, survey
from tests.reports.pdf import reading

PERIOD, ON = Period.of("2026"), date(2026, 12, 31)
LONG = "A name that somebody made so long that it never fits on one line of any column of any table, " * 2
LIMITS = (
    LimitRow("average", "", "80 ft/min", "120 ft/min", "each", "fail", "", "California Code of Regulations, Title 8", "read"),
    LimitRow("lowest", "", "70 ft/min", "", "each", "restrict", "not for highly toxic materials", LONG, ""),
    LimitRow("", "smoke-at-opening", "", "", "each", "fail", "", "", ""),
)  # fmt: skip


def made(hoods: int = 12, *, words: str = "Room closed for works", own_rooms: bool = False, building: str = "") -> Year:
    """A year with one of everything, for so many hoods."""
    there = [
        hood(number, ("North Range", "Mill House")[number % 2], tag=f"FH-{number:04}", explained=words,
             explained_on=date(2026, 12, 1), status=status(overdue=date(2026, 11, 1), due=date(2026, 10, 31))
             if number % 7 == 3 else status("do-not-use" if number % 11 == 5 else "met-criteria"))
        for number in range(1, hoods + 1)
    ]  # fmt: skip
    surveys = []
    for number in range(1, hoods + 1):
        on = date(2026, 1 + number % 12, 3)
        verdict = "fail" if number % 9 == 0 else "no-verdict" if number % 10 == 0 else "pass"
        surveys.append(survey(number, on, verdict, place=there[number - 1].place))
        if number % 9 == 0:
            surveys.append(
                survey(number, on + timedelta(days=12), reason="after-repair", place=there[number - 1].place)
            )
        if number % 8 == 0:
            surveys.append(survey(number, on, "restrict", amends=surveys[-1].key, why=words))
    counts = count(PERIOD, ON, there, surveys)
    failed = failures(counts, ())
    version = VersionRow(
        1,
        "General hoods",
        2,
        date(2026, 2, 1),
        date(2026, 1, 20),
        "Henrik Sole",
        words,
        7,
        "12",
        None,
        len(surveys),
        LIMITS,
    )
    return Year(
        site="Skua Institute", building=building, own_rooms=own_rooms, zone="Europe/London", speed_unit="ft/min",
        height_from="airfoil", telephone="4100", stamp=Stamp(datetime(2027, 1, 4, 9, 30, tzinfo=UTC), 4711, "ab" * 32),
        over=True, begins=date(2024, 10, 21), counts=counts, failures=failed, delay=delay(failed),
        told={one.survey.key: Told("Asel Brandt, 2 JAN 2026", "26-118") for one in failed},
        wanting={one.key: words for one in counts.surveys}, late=late(counts), no_verdicts=no_verdicts(counts),
        versions=(version,), adopted=(version,),
        reassigned=(Reassigned(1, date(2026, 5, 1), "Acids", "General hoods", words, words, "Henrik Sole"),),
        measured=measured(counts.surveys, {counts.surveys[0].key: True} if counts.surveys else {}),
        instruments={1: InstrumentRow("A-07", "40-1187", "thermal-anemometer")},
        calibrations={1: CalibrationRow("K-1", "Skuaness Air Laboratory", date(2026, 1, 1), date(2026, 12, 31))},
        surveyors=surveyors(counts.surveys, ()), people={1: PersonRow("Ruth Okafor", "RO", "hood surveyor", "Skua Institute")},
        qualifications=(QualificationRow(1, "face velocity by traverse", "Skua course", date(2026, 1, 1), None),),
        stops=(StopRow(1, date(2026, 4, 1), "no-flow", words, "Ruth Okafor", None, "", None),
               StopRow(2, date(2026, 4, 1), "no-flow", words, "Ruth Okafor", date(2026, 4, 9), "lifted", 8)),
        flows=flows(counts, (version,), "ft/min"), names={one.key: (one.tag, one.code) for one in there},
    )  # fmt: skip


YEARS = {
    "one of everything": lambda: made(),
    "nobody there": lambda: made(0),
    "long words": lambda: made(words=LONG),
    "own rooms of a building": lambda: made(own_rooms=True, building=LONG[:110]),
}
EVERY = pytest.mark.parametrize("year", YEARS.values(), ids=YEARS)


@EVERY
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_no_line_runs_into_another_or_off_the_page(year, paper):
    print_ = annual(year(), Wording(), paper)
    wide, high = reading.size(print_)
    for page in range(len(reading.pages(print_))):
        lines = reading.inks(print_, page)
        assert reading.outside(lines, wide, high, 4) == []
        assert reading.collisions(lines) == []


@EVERY
def test_the_same_year_gives_the_same_bytes(year):
    found = year()
    assert annual(found, Wording()) == annual(found, Wording())


def test_every_page_says_of_how_many_it_is_one_and_every_foot_the_moment():
    found = reading.pages(annual(made(120), Wording()))
    assert len(found) > 6
    for number, words in enumerate(found, 1):
        assert f"page {number} of {len(found)}" in words
        assert "the last was record 4711" in words
    assert "ab" * 32 in " ".join(found)


def test_a_table_that_goes_on_begins_with_its_head_again_and_loses_no_hood():
    found = reading.pages(annual(made(120), Wording()))
    begins = next(place for place, words in enumerate(found) if "One line a hood" in words)
    listed = [words for words in found[begins:] if words.count("FH-") > 20]
    assert len(listed) > 1
    assert all("Where" in words and "As found" in words for words in listed)
    said = " ".join(found)
    assert [number for number in range(1, 121) if f"FH-{number:04}" not in said] == []


def test_what_the_print_says_is_what_the_tables_hold():
    year = made(40)
    words = reading.quick_text(annual(year, Wording()))
    service = year.counts.service
    assert f"{service.within} of {service.in_service} hoods in service were within their survey interval" in words
    about = dict(next(one for one in tables(year) if one.name == "about").rows)
    assert (about["within_interval"], about["in_service"]) == (service.within, service.in_service)
    assert f"It took {year.delay.median_days} days (median)" in words
    for said in ("Order 26-118".lower(), "Ruth Okafor", "K-1", "General hoods, version 2", "face velocity by traverse"):
        assert said in words


def test_an_average_in_another_unit_stands_on_the_axis_of_the_site():
    year = made(3)
    (flow,) = year.flows
    assert {value for value, _verdict in flow.values} == {Fraction(98)}
    in_metres = flows(year.counts, year.versions, "m/s")[0]
    assert in_metres.values[0][0] == Fraction(98) * Fraction(127, 25000)
    assert (in_metres.unit, in_metres.lowest) == ("m/s", "0.498")
