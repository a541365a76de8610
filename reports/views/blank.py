"""Blank survey forms: what the survey page would ask of a hood today, as plain values for print."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _

from hoods.core.cover import share
from hoods.models import Hood, Person, Room
from reports.pdf.blank import Blank, Lines, Part, Points, Say, Tick, Write, blank_forms
from reports.queries.prints import address
from reports.views.prints import language, paper, pdf, visible_hood
from reports.wording import words
from surveys.actions.surveyable import NotToBeSurveyed, refuse_if_no_part, refuse_if_not_there, version_in_force
from surveys.core.criteria import Criteria
from surveys.core.document import parse
from surveys.core.front import where
from surveys.core.opening import Grid
from surveys.core.units import UNIT, both, quantity
from surveys.facts import around
from surveys.models import Draft
from surveys.queries import Line, lines
from surveys.views.survey_asked import fills_with_smoke
from surveys.views.survey_boxes import Box, Boxes, Question
from surveys.views.survey_grid_words import rule_words
from surveys.views.survey_measured import Alarm
from surveys.views.survey_page import Page
from surveys.views.survey_place import Place
from surveys.views.survey_to_test import first_boxes, with_openings
from surveys.wording import day


def hood_blank(request: HttpRequest, pk: int) -> HttpResponse:
    """The blank form of one hood, by the criteria in force today."""
    hood = visible_hood(request, pk)
    return _printed(request, [hood], f"{hood.tag} blank survey form.pdf", hood.site)


def room_blank(request: HttpRequest, pk: int) -> HttpResponse:
    """The blank forms of the hoods of a room, in walking order; those that cannot be surveyed today are left out by name."""
    room = get_object_or_404(Room.objects.visible_to(request.user).select_related("building__site"), pk=pk)
    site = room.building.site
    hoods = Hood.objects.visible_to(request.user).in_room(room, site.today()).select_related("site")
    stand: Sequence[Line] = lines(hoods, site.today())
    return _printed(request, [line.hood for line in stand], f"room {room.number} blank survey forms.pdf", site)


def _printed(request: HttpRequest, hoods: Sequence[Hood], name: str, site: Any) -> HttpResponse:
    blanks, refused = [], []
    for hood in hoods:
        try:
            blanks.append(blank_of(hood, site.today(), request.user))
        except NotToBeSurveyed as refusal:
            refused.append({"hood": hood, "why": str(refusal)})
    if not blanks or (refused and "without" not in request.GET):
        status = 200 if blanks else 403
        return render(request, "reports/no_blank.html", {"refused": refused, "blanks": blanks}, status=status)
    made = blank_forms(blanks, paper(request, site.paper), site.printer_dpi, words, language())
    return pdf(made, name)


# --- one hood ---------------------------------------------------------------------------------------------------------


def blank_of(hood: Hood, on: date, by: Person) -> Blank:
    """What the survey page of a survey begun today would ask, at the sizes that the register says."""
    refuse_if_not_there(hood, on)
    refuse_if_no_part([hood])
    page = _page(hood, on, by)
    return Blank(
        tag=hood.tag, code=hood.code, address=address(hood.code), place=page.stands.rstrip(".") or "–", site=hood.site.name,
        criteria=page.version, printed=day(on.isoformat()), parts=tuple(_parts(page)),
    )  # fmt: skip


def _page(hood: Hood, on: date, by: Person) -> Page:
    """The survey page of a survey that is not kept, its openings as the register says."""
    draft = Draft(hood=hood, version=version_in_force(hood, on), done_on=on, started_by=by)
    document, criteria = parse({}), Criteria.from_dict(draft.version.document)
    stands = around(draft, document)
    texts = with_openings(first_boxes(stands, criteria), stands, criteria)
    known = {opening.name: opening for opening in stands.openings}
    for name in [name for name in texts if name.endswith("_name")]:
        opening = known.get(texts[name])
        for side in ("height", "width"):
            if opening and (size := getattr(opening, side)):
                written = quantity(size)
                box = name.removesuffix("name") + side
                texts |= {box: written.text, f"{box}_unit": written.unit}
    return Page(
        draft=draft,
        around=stands,
        criteria=criteria,
        document=document,
        boxes=Boxes(texts, {}),
        revision=None,
        judging=None,
    )


def _parts(page: Page) -> Iterator[Part]:
    for step in page.steps:
        items = tuple(_items(page, step.id))
        if items:
            yield Part(step.number, _("Another opening") if step.id == "part-verdict" else step.name, items, joined=step.id == "part-sign")


def _items(page: Page, step: str) -> Iterator[Any]:
    """What a part of the page asks, in its order."""
    kind, _dash, index = step.removeprefix("part-").partition("-")
    place = page.openings[int(index)] if index else None
    if place is not None:
        yield from _of_opening(page, place, kind)
        return
    yield from {
        "hood": _hood, "conditions": _conditions, "found": _found, "checks": _checks, "verdict": _another, "left": _left, "last": _last,
        "sign": _sign,
    }.get(kind, lambda _page: ())(page)  # fmt: skip


def _hood(page: Page) -> Iterator[Any]:
    yield Say(f"{page.kind}.")
    yield Say(_("Openings: %(openings)s.") % {"openings": page.registered})
    yield Say(_("Not cleared, or a danger: measure nothing, leave it, tell the safety office. Smoke came out, no flow, glass broken: stop, hang ‘Do not use’."), strong=True)  # fmt: skip
    yield from map(_tick, page.who)


def _conditions(page: Page) -> Iterator[Any]:
    yield Write(_("Day measured"))
    yield Write(_("From, until"))
    for box in page.conditions:
        if box.name == "instrument":
            yield Write(box.label, help=_("Its name as on the instrument; its calibration must cover the day."))
        elif box.name == "mode":
            yield Tick(f"{box.label} ({box.help.rstrip('.').lower()})", _box(box).answers)
        else:
            yield _box(box)


def _found(page: Page) -> Iterator[Any]:
    yield Say(_("Hands off first: write down how the hood stands before you move anything."))
    yield from map(_box, page.found_boxes)
    yield from map(_tick, page.found)


def _checks(page: Page) -> Iterator[Any]:
    for question in page.checks:
        yield _tick(question)
        if question.beside:
            yield _box(question.beside)
    yield Say(_("Measured here, where a meter is at hand or the criteria ask for it:"))
    yield from map(_box, page.plain_found)
    yield Lines(page.notes.label, 3)


def _of_opening(page: Page, place: Place, kind: str) -> Iterator[Any]:
    if kind == "opening":
        values = {"opening": place.use_words, "height": both(place.register_height) if place.register_height else "–"}
        how = place.set_so
        yield Say(f"{place.use_words}: {how}." if how else _("%(opening)s: set the sash to %(height)s.") % values)
        if place.state_text:
            yield Say(place.state_text, strong=True)
        if place.covered_text:
            yield Say(place.covered_text, strong=True)
        yield Write(_("Height measured"), place.height_box.unit_shown)
        yield Write(_("Width measured"), place.width_box.unit_shown)
        yield from map(_tick, place.sash_checks)
    elif kind == "traverse":
        yield from _points(page, place)
    elif kind == "monitor":
        yield from map(_box, [place.monitor_box] if place.monitor_box else [])
        yield from map(_tick, place.monitor_checks)
        yield from _alarm(place.alarm)
    elif kind == "smoke":
        yield from _smoke(place.smoke)


def _alarm(alarm: Alarm | None) -> Iterator[Any]:
    """How the alarm was forced and what it did."""
    if alarm is None:
        return
    yield from map(_box, alarm.boxes)
    yield from map(_tick, alarm.questions)


def _smoke(asked: Sequence[Question]) -> Iterator[Any]:
    """What is asked of smoke; before much of it is let out, who is told: on the page of all that is asked of it."""
    if warned := fills_with_smoke(asked):
        yield Say(_("Before you let out much smoke: tell whoever answers for the fire detection of this building, wait for their word, and tell them when you are done."), strong=True, keep=True)  # fmt: skip
    for question in asked:
        yield replace(_tick(question), keep=warned and question is not asked[-1])


def _points(page: Page, place: Place) -> Iterator[Any]:
    if not isinstance(place.grid, Grid):
        yield Say(
            _(
                "The register gives no size of this opening, so no grid is drawn: measure it, draw its grid by the criteria."
            )
        )
        yield Lines(_("Readings, row by row from the upper left"), 4)
        return
    known, block = place.known, place.found
    assert block is not None
    yield Points(
        columns=place.grid.columns, rows=place.grid.rows, height=both(known.height) if known else "",
        width=both(known.width, nearest=True) if known else "", edge_above=not block.is_panel, free=block.free,
        place=None if page.hood.sash == "vertical" else where(page.hood.sash, known.way if known else "", place.name),
        taken=share(known.covered, known.width, known.height) if known else None,
        heading=_("Face velocity, %(unit)s") % {"unit": UNIT[page.speed_unit].shown},
        note=_(
            "Seen from the front: row 1 is the upper one, column 1 is at your left. Planned by the criteria for the "
            "registered size: %(columns)s by %(rows)s points. If the size measured asks for more, read those too."
        )
        % {"columns": place.grid.columns, "rows": place.grid.rows}
        + (" " + _("Hatched: covered, no point.") if not all(block.free) else ""),
    )  # fmt: skip


def _another(page: Page) -> Iterator[Any]:
    """Room for one more opening, since on paper nothing is judged: a lower one, where the working one may have failed."""
    yield Say(_("Measure a lower opening too where you doubt that the working one meets the criteria: here nobody tells you."))
    if least := page.least_height:
        yield Say(_("Under %(least)s, the least useful height, no opening is approved.") % {"least": least})
    if page.registered_others:
        others = "; ".join(f"{one.name}, {both(one.height) if one.height else '–'}" for one in page.registered_others)
        yield Say(_("The hood also has: %(openings)s.") % {"openings": others})
    yield from map(_box, page.another)
    like = page.openings[0] if page.openings else None  # what is asked of each opening alike
    smoke = tuple(_smoke(like.left_smoke)) if like else ()
    yield from smoke if page.criteria.smoke_first else ()
    yield from _free_points(page)
    if like and like.left_monitor_box:
        yield Write(_("Monitor shows there"), like.left_monitor_box.unit_shown)
    yield from map(_tick, like.left_checks if like else ())
    yield from () if page.criteria.smoke_first else smoke


def _free_points(page: Page) -> Iterator[Any]:
    """An empty grid as large as the largest of the hood; the criteria say how much of it is used."""
    grids = [place.grid for place in page.openings if isinstance(place.grid, Grid)]
    if not grids:
        yield Lines(_("Readings, row by row from the upper left"), 4)
        return
    yield Points(
        columns=max(grid.columns for grid in grids), rows=max(grid.rows for grid in grids), height="", width="",
        heading=_("Face velocity at the other opening, %(unit)s") % {"unit": UNIT[page.speed_unit].shown},
        edge_above=page.hood.sash == "vertical",
        note=_("Plan its grid for the size that you measured: %(rule)s. Cross out the columns and rows that it does not need.")
        % {"rule": rule_words(page.criteria.grid)},
    )  # fmt: skip


def _left(page: Page) -> Iterator[Any]:
    yield _tick(page.adjusted)
    yield Say(_("Only if something was adjusted: a complete second set, smoke included."))
    for place in page.openings:
        if page.several:
            yield Say(_("As left: %(opening)s") % {"opening": place.name}, strong=True, keep=True)
        if place.state_text:
            yield Say(place.state_text, strong=True, keep=True)
        smoke = tuple(_smoke(place.left_smoke))
        yield from smoke if page.criteria.smoke_first else ()
        yield from _points(page, place)
        yield from map(_box, [place.left_monitor_box] if place.left_monitor_box else [])
        yield from map(_tick, place.left_checks)
        yield from () if page.criteria.smoke_first else smoke
    yield from _smoke(page.left_checks)
    yield from map(_box, page.plain_left)
    yield from _alarm(page.alarm_left)


def _last(page: Page) -> Iterator[Any]:
    yield Say(_("Before you go, put back what you moved."))
    yield from map(_tick, page.last_questions)


def _sign(_page: Page) -> Iterator[Any]:
    yield Say(_("I made these measurements."))
    yield Write(_("Name"))
    yield Write(_("Signature"))
    yield Write(_("Typed in by"))
    yield Write(_("Typed in on"))


def _tick(question: Question) -> Tick:
    return Tick(question.legend, tuple(answer.word for answer in question.answers))


def _box(box: Box) -> Tick | Write:
    if box.choices:
        return Tick(box.label, tuple(word for code, word in box.choices if code))
    return Write(box.label, box.unit_shown, box.help)
