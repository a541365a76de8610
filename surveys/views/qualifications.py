"""What a person is qualified to measure: added on the page of the person."""

from __future__ import annotations

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _

from hoods.models.people import people_visible_to
from hoods.views.page import done, form_page, kept, sent
from surveys.actions.qualifications import record_qualification
from surveys.forms.qualification import Qualified


def add_qualification(request: HttpRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(people_visible_to(request.user), pk=pk)
    form = Qualified(sent(request), initial={"from_on": request.site.today()})
    if kept(request, form, partial(record_qualification, person=person, site=request.site)):
        return done(
            request, _("The qualification of %(name)s is written down.") % {"name": person.name}, "hoods:person", pk
        )
    return form_page(
        request, form, title=_("People"), where=person.name, answer=_("What is this person qualified to measure?"),
        after=_("It stands on the record of each survey that is signed from now on and was measured on a day it covers."),
        button=_("Write it down"), back=reverse("hoods:person", args=[pk]),
    )  # fmt: skip
