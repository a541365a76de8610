"""The inventory: find a hood, see all that is kept of it, register, change and move it."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.core.paginator import Paginator
from django.db.models import Model
from django.forms.models import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _

from hoods import actions, queries
from hoods.core.ending import of_hood
from hoods.core.part import lacks_part
from hoods.forms import hood as forms
from hoods.models import Entry, Hood, Opening
from hoods.views.page import done, form_page, kept, sent
from hoods.words import WAYS

PAGE = 50  # hoods


def inventory(request: HttpRequest) -> HttpResponse:
    text = request.GET.get("q", "")[:80].replace("\x00", "")
    page = Paginator(queries.hoods_found(request.user, text), PAGE).get_page(request.GET.get("page"))
    rooms = queries.rooms_by_number(page.object_list)
    lines = [(hood, rooms.get(hood.room_id)) for hood in page.object_list]
    query = urlencode({"q": text}) + "&" if text else ""
    return render(request, "hoods/inventory.html", {"page": page, "lines": lines, "text": text, "query": query})


def hood_of(request: HttpRequest, pk: int) -> Hood:
    """The hood that the address names, if this person may see it."""
    return get_object_or_404(Hood.objects.visible_to(request.user).select_related("site"), pk=pk)


def hood_inventory(request: HttpRequest, pk: int) -> HttpResponse:
    hood = hood_of(request, pk)
    return render(request, "hoods/hood.html", {
        "hood": hood,
        "life": queries.life(hood),
        "outage": queries.outage(hood, request.site.today()),
        "placement": hood.placement(),
        "placements": hood.placements.select_related("room__building", "exhaust", "by").order_by("-from_on", "-pk"),
        "openings": hood.openings.all(),
        "without_part": without_part(hood),
        "events": hood.events.select_related("opening", "by").order_by("-on", "-at", "-pk"),
        "former_names": hood.former_names.all(),
        "entries": Entry.objects.of_hood(hood, hood.drafts.values_list("pk", flat=True))[:50],
    })  # fmt: skip


def without_part(hood: Hood) -> Opening | None:
    """The first opening of which nobody has said which part of the sash it is: the hood cannot be surveyed so."""
    return next((one for one in hood.openings.all() if lacks_part(hood.sash, one.use, one.way, one.name)), None)


def back_to(hood: Hood) -> str:
    return reverse("hoods:hood_inventory", args=[hood.pk])


def add_hood(request: HttpRequest) -> HttpResponse:
    form = forms.NewHood(
        sent(request), person=request.user, site=request.site,
        initial={"room": request.GET.get("room", ""), "on": request.site.today()},
    )  # fmt: skip
    if hood := kept(request, form, partial(register, site=request.site, form=form)):
        if hood.sash in WAYS:
            said = _("%(tag)s is registered. Say which part its opening “working” is; then add an opening for each other part.")
            return done(request, said % {"tag": hood.tag}, "hoods:change_opening", hood.openings.get().pk)
        return done(request, _("%(tag)s is registered.") % {"tag": hood.tag}, back_to(hood))
    return form_page(
        request, form, title=_("Hood"), where=request.site.name, answer=_("Register a hood."),
        after=_("Its code for the label is made by the ledger. It is not to be used before it is surveyed."),
        button=_("Register the hood"), back=reverse("hoods:inventory"),
    )  # fmt: skip


def register(*, form: forms.NewHood, width: str, height: str, **what: Any) -> Hood:
    return actions.register_hood(openings=[form.working_opening(width, height)], **what)


def change_hood(request: HttpRequest, pk: int) -> HttpResponse:
    hood = hood_of(request, pk)
    form = forms.ChangedHood(sent(request), initial=model_to_dict(hood))
    if changed := kept(request, form, partial(actions.change_hood, hood=hood)):
        said = _("%(tag)s is changed.")
        if of_hood(changed_in(form, hood)):
            said = _("%(tag)s is changed. It is not to be used before it is surveyed as it is now: have its label taken off.")
        said %= {"tag": changed.tag}
        if "sash" in changed_in(form, hood) and (opening := without_part(changed)):
            also = _("Put right which part of its sash “%(name)s” is: before that it cannot be surveyed.")
            return done(request, f"{said} {also % {'name': opening.name}}", "hoods:change_opening", opening.pk)
        return done(request, said, back_to(hood))
    return form_page(
        request, form, title=_("Hood"), where=hood.tag, answer=_("Change what is said of this hood."),
        after=_(
            "A tag that you replace goes on leading to this hood. Another kind, volume control or sash ends every approval, "
            "and changing it back restores none: only a survey approves."
        ),
        button=_("Keep the change"), back=back_to(hood),
    )  # fmt: skip


def changed_in(form: forms.Plain, thing: Model) -> dict[str, Any]:
    """What a form says otherwise than the thing that was loaded for it."""
    return {name: value for name, value in form.cleaned_data.items() if getattr(thing, name, value) != value}


def replace_code(request: HttpRequest, pk: int) -> HttpResponse:
    hood = hood_of(request, pk)
    form = forms.Because(sent(request))
    if changed := kept(request, form, partial(actions.replace_code, hood=hood)):
        said = _("The code is now %(code)s. The old one goes on leading here; print the label again.")
        return done(request, said % {"code": changed.code}, back_to(hood))
    return form_page(
        request, form, title=_("Hood"), where=hood.tag, answer=_("Give this hood a new code."),
        after=_("For a label that was copied to a wrong hood. Labels with the old code go on leading to this hood."),
        button=_("Make a new code"), back=back_to(hood),
    )  # fmt: skip


def move_hood(request: HttpRequest, pk: int) -> HttpResponse:
    hood = hood_of(request, pk)
    form = forms.Moved(
        sent(request), person=request.user, site=request.site, initial={"on": request.site.today(), "order": 0}
    )
    if placed := kept(request, form, partial(actions.move_hood, hood=hood)):
        said = _("%(tag)s now stands in %(room)s. It is not to be used before it is surveyed there.")
        return done(request, said % {"tag": hood.tag, "room": placed.room}, back_to(hood))
    return form_page(
        request, form, title=_("Hood"), where=hood.tag, answer=_("Move this hood to another place."),
        after=_("A moved hood is not to be used before it is surveyed where it stands now."),
        button=_("Move the hood"), back=back_to(hood),
    )  # fmt: skip


def shift_hood(request: HttpRequest, pk: int) -> HttpResponse:
    hood = hood_of(request, pk)
    placed = hood.placement()
    initial = model_to_dict(placed, ["exhaust", "position", "order"]) if placed else {}
    form = forms.Shifted(sent(request), person=request.user, site=request.site, initial=initial)
    if kept(request, form, partial(actions.shift_hood, hood=hood)):
        return done(request, _("The place of %(tag)s is put right.") % {"tag": hood.tag}, back_to(hood))
    return form_page(
        request, form, title=_("Hood"), where=hood.tag, answer=_("Put right where in its room this hood stands."),
        after=_("The hood has not moved, and its last survey stands. If it has moved, say so instead."),
        button=_("Keep the change"), back=back_to(hood),
    )  # fmt: skip
