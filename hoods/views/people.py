"""People and their roles. A person is invited and handed a one-time link; nobody signs up."""

from __future__ import annotations

from functools import partial

from django.conf import settings
from django.db.models import Prefetch
from django.forms.models import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from hoods import actions
from hoods.forms import hood as hood_forms
from hoods.forms import people as forms
from hoods.models import Entry, Person, Role
from hoods.models.people import people_visible_to
from hoods.views.page import done, form_page, kept, sent


def people(request: HttpRequest) -> HttpResponse:
    roles = Prefetch("roles", Role.objects.filter(site=request.site).select_related("room__building"))
    rows = people_visible_to(request.user).prefetch_related(roles)
    return render(request, "hoods/people.html", {"people": rows, "today": request.site.today()})


def person_of(request: HttpRequest, pk: int) -> Person:
    return get_object_or_404(people_visible_to(request.user), pk=pk)


def person(request: HttpRequest, pk: int) -> HttpResponse:
    someone, today = person_of(request, pk), request.site.today()
    roles = someone.roles.filter(site=request.site).select_related("room__building").order_by("from_on", "pk")
    return render(request, "hoods/person.html", {
        "person": someone,
        "roles": [(role, role.until_on is not None and role.until_on < today) for role in roles],
        "has_password": someone.has_usable_password(),
        "entries": Entry.objects.of(someone)[:50],
    })  # fmt: skip


@never_cache
def invite(request: HttpRequest) -> HttpResponse:
    form = forms.Invited(
        sent(request), person=request.user, site=request.site, initial={"from_on": request.site.today()}
    )
    invited = kept(request, form, partial(actions.invite_person, site=request.site))
    if invited is not None:
        if invited.link is None:
            said = _("%(name)s signs in already and has the role now.") % {"name": invited.person.name}
            return done(request, said, "hoods:person", invited.person.pk)
        return hand_over(request, invited.person, invited.link)
    return form_page(
        request, form, title=_("People"), where=request.site.name, answer=_("Invite a person."),
        after=_("The person gets a mail with a link to set a password, and you see the link too. It works once, for three days.")
        if settings.MAIL_IS_SET_UP
        else _(
            "No mail server is set up: you get a link to hand over, with which the person sets a password. It works "
            "once, for three days."
        ),
        button=_("Invite"), back=reverse("hoods:people"),
    )  # fmt: skip


def hand_over(request: HttpRequest, someone: Person, path: str) -> HttpResponse:
    """The one page that shows a one-time link; it is kept nowhere."""
    link = (settings.SITE_URL or request.build_absolute_uri("/").rstrip("/")) + path
    return render(request, "hoods/link.html", {"person": someone, "link": link})


@never_cache
def renew_link(request: HttpRequest, pk: int) -> HttpResponse:
    someone = person_of(request, pk)
    form = hood_forms.Because(sent(request))
    if path := kept(request, form, partial(actions.renew_link, person=someone, site=request.site)):
        return hand_over(request, someone, path)
    return form_page(
        request, form, title=_("People"), where=someone.name, answer=_("Make a new link to set a password."),
        after=_("Only for the person themself: the password signs surveys. Links made before go on working until used."),
        button=_("Make the link"), back=reverse("hoods:person", args=[pk]),
    )  # fmt: skip


def change_person(request: HttpRequest, pk: int) -> HttpResponse:
    someone = person_of(request, pk)
    if not someone.has_usable_password():
        return change_invited(request, someone)
    form = forms.Named(sent(request), initial=model_to_dict(someone, ["name", "initials", "position", "employer"]))
    if kept(request, form, partial(actions.change_person, person=someone)):
        return done(request, _("What is printed of this person is changed."), "hoods:person", pk)
    return form_page(
        request, form, title=_("People"), where=someone.name, answer=_("Change what is printed of this person."),
        after=_("Records that are signed keep the name that they were signed with."), button=_("Keep the change"),
        back=reverse("hoods:person", args=[pk]),
    )  # fmt: skip


def change_invited(request: HttpRequest, someone: Person) -> HttpResponse:
    """Of somebody who has set no password yet the address too, since nobody signs in with it so far."""
    before = someone.email
    initial = model_to_dict(someone, ["email", "name", "initials", "position", "employer"])
    form = forms.Addressed(sent(request), initial=initial)
    if changed := kept(request, form, partial(actions.change_person_invited, person=someone, site=request.site)):
        said = _("What is printed of this person is changed.")
        if changed.email != before:
            said = _("The address is changed to %(email)s. Links made for the old one no longer work.") % {
                "email": changed.email
            }
        return done(request, said, "hoods:person", someone.pk)
    return form_page(
        request, form, title=_("People"), where=someone.name, answer=_("Change the address and what is printed."),
        after=_("No password is set yet, so a mistyped address can be mended: the invitation is made anew for it."),
        button=_("Keep the change"), back=reverse("hoods:person", args=[someone.pk]),
    )  # fmt: skip


def give_role(request: HttpRequest, pk: int) -> HttpResponse:
    someone = person_of(request, pk)
    form = forms.GivenRole(
        sent(request), person=request.user, site=request.site, initial={"from_on": request.site.today()}
    )
    if kept(request, form, partial(actions.give_role, person=someone, site=request.site)):
        return done(request, _("%(name)s has the role.") % {"name": someone.name}, "hoods:person", pk)
    return form_page(
        request, form, title=_("People"), where=someone.name, answer=_("Give this person a role."),
        button=_("Give the role"), back=reverse("hoods:person", args=[pk]),
    )  # fmt: skip


def end_role(request: HttpRequest, pk: int) -> HttpResponse:
    role = get_object_or_404(Role.objects.visible_to(request.user).select_related("person", "room__building"), pk=pk)
    form = forms.EndedRole(sent(request), initial={"until_on": request.site.today()})
    if kept(request, form, partial(actions.end_role, role=role)):
        return done(request, _("The role has a last day."), "hoods:person", role.person_id)
    return form_page(
        request, form, title=_("People"), where=role.person.name, answer=_("End a role of this person."),
        after=_("What the person signed stays. To stop a sign-in at once, disable it."), button=_("End the role"),
        back=reverse("hoods:person", args=[role.person_id]),
    )  # fmt: skip


def disable_person(request: HttpRequest, pk: int) -> HttpResponse:
    someone = person_of(request, pk)
    form = hood_forms.Because(sent(request))
    if kept(request, form, partial(actions.disable_person, person=someone)):
        return done(request, _("%(name)s can no longer sign in.") % {"name": someone.name}, "hoods:person", pk)
    return form_page(
        request, form, title=_("People"), where=someone.name, answer=_("Disable the sign-in of this person."),
        after=_("It ends at once, everywhere. What the person signed stays."), button=_("Disable the sign-in"),
        danger=True, back=reverse("hoods:person", args=[pk]),
    )  # fmt: skip


def enable_person(request: HttpRequest, pk: int) -> HttpResponse:
    someone = person_of(request, pk)
    form = hood_forms.Because(sent(request))
    if kept(request, form, partial(actions.enable_person, person=someone)):
        return done(request, _("%(name)s can sign in again.") % {"name": someone.name}, "hoods:person", pk)
    return form_page(
        request, form, title=_("People"), where=someone.name, answer=_("Let this person sign in again."),
        button=_("Enable the sign-in"), back=reverse("hoods:person", args=[pk]),
    )  # fmt: skip
