"""What happens to a hood: retire, hibernate, wake, out of service and back; its openings."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.forms.models import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _

from hoods import actions
from hoods.core.ending import of_opening
from hoods.forms import hood as forms
from hoods.models import Hood, Opening
from hoods.views.hood import back_to, changed_in, hood_of
from hoods.views.page import done, form_page, kept, sent


def happening(request: HttpRequest, hood: Hood, form: Any, act: Any, said: str, **words: Any) -> HttpResponse:
    """A page on which one thing is said to have happened to a hood."""
    if kept(request, form, partial(act, hood=hood)):
        return done(request, said % {"tag": hood.tag}, back_to(hood))
    return form_page(request, form, title=_("Hood"), where=hood.tag, back=back_to(hood), **words)


def today(request: HttpRequest) -> dict[str, Any]:
    return {"on": request.site.today()}


def retire_hood(request: HttpRequest, pk: int) -> HttpResponse:
    form = forms.Happened(sent(request), initial=today(request))
    return happening(
        request, hood_of(request, pk), form, actions.retire_hood, _("%(tag)s is retired."),
        answer=_("Retire this hood for ever."), button=_("Retire the hood"), danger=True,
        after=_("Its records stay, and its code goes on leading to them. A retired hood is never woken."),
    )  # fmt: skip


def hibernate_hood(request: HttpRequest, pk: int) -> HttpResponse:
    form = forms.Happened(sent(request), initial=today(request))
    return happening(
        request, hood_of(request, pk), form, actions.hibernate_hood, _("%(tag)s is hibernated."),
        answer=_("Hibernate this hood: closed, marked, not used until it is woken."), button=_("Hibernate the hood"),
        after=_("Tell whoever looks after its exhaust: flow that is taken away may change other hoods on the fan."),
    )  # fmt: skip


def wake_hood(request: HttpRequest, pk: int) -> HttpResponse:
    form = forms.Happened(sent(request), initial=today(request))
    return happening(
        request, hood_of(request, pk), form, actions.wake_hood,
        _("%(tag)s is woken. It is not to be used before it is surveyed."),
        answer=_("Wake this hood from hibernation."), button=_("Wake the hood"),
        after=_("A woken hood is not to be used before it is surveyed."),
    )  # fmt: skip


def take_out_of_service(request: HttpRequest, pk: int) -> HttpResponse:
    form = forms.Outage(sent(request), initial=today(request))
    begun = form.is_bound and form.is_valid() and form.cleaned_data["on"] <= request.site.today()
    said = _("%(tag)s is out of service.") if begun else _("%(tag)s is planned out of service.")
    return happening(
        request, hood_of(request, pk), form, actions.take_out_of_service, said,
        answer=_("Take this hood out of service for a time."), button=_("Take it out of service"),
        after=_("For planned work. If the hood is not as it should be, post ‘do not use’ on its page instead."),
    )  # fmt: skip


def bring_back(request: HttpRequest, pk: int) -> HttpResponse:
    form = forms.Happened(sent(request), initial=today(request))
    return happening(
        request, hood_of(request, pk), form, actions.bring_back, _("%(tag)s is back in service."),
        answer=_("Bring this hood back into service."), button=_("Bring it back"),
        after=_("After a repair, or a change of its ventilation, survey it before it is used."),
    )  # fmt: skip


def add_opening(request: HttpRequest, pk: int) -> HttpResponse:
    hood = hood_of(request, pk)
    form = forms.OpeningOf(sent(request), sash=hood.sash, initial={"use": "lower", "tested_every_survey": True})
    return happening(
        request, hood, form, actions.add_opening, _("The opening is added to %(tag)s."),
        answer=_("Add an opening at which this hood is measured."), button=_("Add the opening"),
        after=_("Width and height as measured at the hood."),
    )  # fmt: skip


def change_opening(request: HttpRequest, pk: int) -> HttpResponse:
    visible = Opening.objects.filter(hood__in=Hood.objects.visible_to(request.user).values("pk"))
    opening = get_object_or_404(visible.select_related("hood__site"), pk=pk)
    form = forms.ChangedOpening(sent(request), sash=opening.hood.sash, initial=model_to_dict(opening))
    if kept(request, form, partial(actions.change_opening, opening=opening)):
        said = _("The opening “%(name)s” is changed.")
        if of_opening(opening, changed_in(form, opening)):
            said = _("The opening “%(name)s” is changed. The hood is not to be used there before it is surveyed.")
        return done(request, said % {"name": form.cleaned_data["name"]}, back_to(opening.hood))
    return form_page(
        request, form, title=_("Hood"), where=opening.hood.tag,
        answer=_("Change the opening “%(name)s”.") % {"name": opening.name},
        after=_("Another size, use, part or cover ends its approval: the hood is not to be used there before it is surveyed."),
        button=_("Keep the change"), back=back_to(opening.hood),
    )  # fmt: skip
