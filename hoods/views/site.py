"""The site: its settings, its buildings with their rooms, its exhaust systems."""

from __future__ import annotations

from functools import partial

from django.db.models import Prefetch
from django.forms.models import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from hoods import actions
from hoods.forms import place as forms
from hoods.models import Building, Entry, ExhaustSystem, Room
from hoods.views.page import done, form_page, kept, sent


def site(request: HttpRequest) -> HttpResponse:
    person = request.user
    rooms = Prefetch("rooms", Room.objects.visible_to(person))
    return render(request, "hoods/site.html", {
        "buildings": Building.objects.visible_to(person).prefetch_related(rooms),
        "exhausts": ExhaustSystem.objects.visible_to(person),
        "entries": Entry.objects.of(request.site)[:50],
    })  # fmt: skip


def change_site(request: HttpRequest) -> HttpResponse:
    form = forms.SiteSettings(sent(request), initial=model_to_dict(request.site))
    if kept(request, form, partial(actions.change_site, site=request.site)):
        return done(request, _("The settings of the site are kept."), "hoods:site")
    return form_page(
        request, form, title=_("Site"), where=request.site.name, answer=_("Change the settings of this site."),
        button=_("Keep the settings"), back=reverse("hoods:site"),
    )  # fmt: skip


def add_building(request: HttpRequest) -> HttpResponse:
    form = forms.BuildingOf(sent(request))
    if building := kept(request, form, partial(actions.add_building, site=request.site)):
        return done(request, _("%(name)s is added.") % {"name": building.name}, "hoods:site")
    return form_page(
        request, form, title=_("Building"), where=request.site.name, answer=_("Add a building to this site."),
        button=_("Add the building"), back=reverse("hoods:site"),
    )  # fmt: skip


def change_building(request: HttpRequest, pk: int) -> HttpResponse:
    building = get_object_or_404(Building.objects.visible_to(request.user), pk=pk)
    form = forms.BuildingOf(sent(request), initial=model_to_dict(building))
    if changed := kept(request, form, partial(actions.change_building, building=building)):
        return done(request, _("%(name)s is changed.") % {"name": changed.name}, "hoods:site")
    return form_page(
        request, form, title=building.name, answer=_("Change this building."), button=_("Keep the change"),
        back=reverse("hoods:site"), entries=Entry.objects.of(building)[:50],
    )  # fmt: skip


def add_room(request: HttpRequest) -> HttpResponse:
    form = forms.RoomOf(
        sent(request), person=request.user, site=request.site, initial={"building": request.GET.get("building", "")}
    )
    if room := kept(request, form, actions.add_room):
        return done(request, _("%(name)s is added.") % {"name": room}, "hoods:site")
    return form_page(
        request, form, title=_("Room"), where=request.site.name, answer=_("Add a room to a building."),
        button=_("Add the room"), back=reverse("hoods:site"),
    )  # fmt: skip


def change_room(request: HttpRequest, pk: int) -> HttpResponse:
    room = get_object_or_404(Room.objects.visible_to(request.user).select_related("building"), pk=pk)
    form = forms.RoomOf(sent(request), person=request.user, site=request.site, initial=model_to_dict(room))
    if changed := kept(request, form, partial(actions.change_room, room=room)):
        return done(request, _("%(name)s is changed.") % {"name": changed}, "hoods:site")
    return form_page(
        request, form, title=str(room), answer=_("Change what is said of this room."), button=_("Keep the change"),
        back=reverse("hoods:site"), entries=Entry.objects.of(room)[:50],
    )  # fmt: skip


def add_exhaust(request: HttpRequest) -> HttpResponse:
    form = forms.ExhaustOf(sent(request))
    if exhaust := kept(request, form, partial(actions.add_exhaust, site=request.site)):
        return done(request, _("%(name)s is added.") % {"name": exhaust.name}, "hoods:site")
    return form_page(
        request, form, title=_("Exhaust system"), where=request.site.name,
        answer=_("Add a fan and its duct, which one hood has alone or several share."),
        button=_("Add the exhaust system"), back=reverse("hoods:site"),
    )  # fmt: skip


def change_exhaust(request: HttpRequest, pk: int) -> HttpResponse:
    exhaust = get_object_or_404(ExhaustSystem.objects.visible_to(request.user), pk=pk)
    form = forms.ExhaustOf(sent(request), initial=model_to_dict(exhaust))
    if changed := kept(request, form, partial(actions.change_exhaust, exhaust=exhaust)):
        return done(request, _("%(name)s is changed.") % {"name": changed.name}, "hoods:site")
    return form_page(
        request, form, title=exhaust.name, answer=_("Change this exhaust system."), button=_("Keep the change"),
        back=reverse("hoods:site"), entries=Entry.objects.of(exhaust)[:50],
    )  # fmt: skip
