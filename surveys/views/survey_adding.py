"""Which openings a survey measures, by the buttons of its page: one that the hood has, a new one, one taken back."""

from __future__ import annotations

from collections.abc import Iterable

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.utils.translation import gettext as _

from hoods.actions.opening import add_opening
from hoods.actions.refusal import Refused
from hoods.forms.hood import OpeningOf
from surveys.core.codes import CANDIDATE_USES
from surveys.core.criteria import Criteria
from surveys.core.facts import OpeningFacts
from surveys.core.sizes import Off, off_the_others
from surveys.core.units import both
from surveys.forms.hood_boxes import amount
from surveys.views import survey_changes as changes
from surveys.views.survey_changes import is_number
from surveys.views.survey_doubts import SEPARATOR, added_doubt
from surveys.views.survey_pressed import Pressed
from surveys.views.survey_to_test import is_under_least


def also(pressed: Pressed, pk: str) -> HttpResponse:
    """Measure an opening that the hood has and this survey has not yet."""
    opening = pressed.draft.hood.openings.filter(pk=int(pk) if is_number(pk) else None).first()
    if opening is None:
        raise changes.NoSuchReading
    changes.add_opening(pressed.content, opening.name)
    pressed.keep(pressed.content)
    return pressed.back(f"part-opening-{len(pressed.content['openings']) - 1}")


def another(pressed: Pressed, what: str) -> HttpResponse | None:
    """Add an opening to the hood, and measure it now; `what` are the sizes that were asked about and confirmed."""
    boxes, criteria = pressed.form.boxes, Criteria.from_dict(pressed.draft.version.document)
    name = boxes.get("another_name", "").strip()
    sizes = {
        side: amount(boxes, f"another_{side}") or "" for side in ("width", "height")
    }
    use = boxes.get("another_use") or "lower"
    form = OpeningOf(
        {"name": name, "use": use, "way": boxes.get("another_way", ""), **sizes}, sash=pressed.draft.hood.sash
    )
    wrong = {f"another_{field}": str(errors[0]) for field, errors in form.errors.items()}
    if not name:
        wrong["another_name"] = _("Give the opening a name, such as ‘lower’.")
    for side in sizes:
        if not boxes.get(f"another_{side}", "").strip():
            wrong[f"another_{side}"] = _("Write the size that was measured.")
    if not wrong and use in CANDIDATE_USES and is_under_least(sizes["height"], criteria):
        wrong["another_height"] = _(
            "A lower or working opening is at least %(least)s high by these criteria: set the sash higher, or choose "
            "‘Other’ to record it only."
        ) % {"least": both(str(criteria.least_height))}
    new = OpeningFacts(name, use, form.cleaned_data.get("way") or "", **sizes)
    asked = [] if wrong else list(off_the_others(new, _registered(pressed), pressed.draft.hood.sash))
    confirmed = SEPARATOR.join(sizes.values())
    if not wrong and (not asked or what == confirmed):
        try:
            _add(pressed, new, asked)
            return pressed.back(f"r{len(pressed.content['openings']) - 1}f-0-0-0")
        except Refused as refusal:
            wrong["another_name"] = str(refusal)
    pressed.how = {
        "wrong": wrong,
        "another_open": True,
        "another_asked": [added_doubt(one.code, dict(one.values), confirmed) for one in asked],
        "typed": {k: v for k, v in boxes.items() if k.startswith("another_")},
    }
    return None


def _registered(pressed: Pressed) -> list[OpeningFacts]:
    openings = pressed.draft.hood.openings.all()
    return [OpeningFacts(one.name, one.use, one.way, width=one.width, height=one.height) for one in openings]


@transaction.atomic
def _add(pressed: Pressed, new: OpeningFacts, confirmed: Iterable[Off]) -> None:
    """What was asked of its size and confirmed is kept with the survey, as any other answer."""
    sizes = {"width": new.width, "height": new.height}
    add_opening(
        hood=pressed.draft.hood, name=new.name, use=new.use, way=new.way or "", tested_every_survey=False,
        by=pressed.request.user, at=pressed.at, why=_("measured in a survey"), **sizes,
    )  # fmt: skip
    changes.add_opening(pressed.content, new.name, **sizes)
    place = len(pressed.content["openings"]) - 1
    for one in confirmed:
        path = f"openings.{place}.{one.side}"
        changes.answer_question(pressed.content, one.code, path, one.text, "stays", pressed.moment)
    pressed.keep(pressed.content)


def leave_out(pressed: Pressed, index: str) -> HttpResponse:
    """Take back an opening that was begun by mistake; one that must be tested, or was begun, stays."""
    from surveys.views.survey import page_of

    place = next((one for one in page_of(pressed.draft).openings if str(one.index) == index), None)
    if place is None:
        raise changes.NoSuchReading
    if not place.may_be_left_out:
        messages.error(
            pressed.request,
            _("‘%(name)s’ stays: it is to be tested, or something was read there.") % {"name": place.name},
        )
        return pressed.back(f"part-opening-{index}")
    changes.leave_out_opening(pressed.content, place.name)
    pressed.keep(pressed.content)
    said = _("‘%(name)s’ is not measured in this survey. The hood keeps it: correct it on the page of the hood.")
    messages.success(pressed.request, said % {"name": place.name})
    return pressed.back("part-another")
