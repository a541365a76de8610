"""Say which criteria judge which hoods: those ticked, or all that a list shows."""

from __future__ import annotations

from typing import Any, NamedTuple

from django.contrib import messages
from django.core.paginator import Page
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hoods import queries as inventory
from hoods import words as hood_words
from hoods.models import Hood
from hoods.views.page import done, form_page, kept, sent
from surveys.actions import assignment as actions
from surveys.assigned import judged_by, without_set
from surveys.core.due import asks_too_seldom
from surveys.forms import criteria as forms
from surveys.views import paging

NAMED = 5  # hoods that a warning names


class Asked(NamedTuple):
    """What the list of hoods is narrowed to: a text, a kind, and whether only to those that nothing judges yet."""

    text: str
    kind: str
    lacking: bool

    @classmethod
    def of(cls, asked: dict[str, Any], before: str = "") -> Asked:
        """What the boxes say now, or what they said `before`, when the list was drawn."""
        text = asked.get(f"{before}q", "")[:80].replace("\x00", "")
        kind = asked.get(f"{before}kind", "")
        return cls(text, kind if kind in hood_words.KINDS else "", bool(asked.get(f"{before}lacking")))

    def hoods(self, request: HttpRequest) -> QuerySet[Hood]:
        hoods = inventory.without_retired(inventory.hoods_found(request.user, self.text)).filter(site=request.site)
        if self.kind:
            hoods = hoods.filter(kind=self.kind)
        return without_set(hoods, request.site.today()) if self.lacking else hoods


def assign_criteria(request: HttpRequest) -> HttpResponse:
    """Whom a set judges. 'Show' and the pages keep what is ticked and written, and nothing else.

    'All of this list' is said of the list that was drawn: where its boxes say something else by now, it is shown first.
    """
    today, drawn = request.site.today(), "drawn" in request.POST
    asked = request.POST.dict() if drawn else request.GET.dict() | request.POST.dict()
    listed = Asked.of(asked)
    looks = "show" in request.POST or (drawn and listed != Asked.of(asked, "drawn_"))
    hoods = Asked("", "", False).hoods(request)
    page = paging.page_of(listed.hoods(request), asked.get("show") or asked.get("page"))
    before = _ticked(hoods, request.POST.getlist("hoods"), page)
    shown = [*before, *page]
    form = forms.Assigned(
        None if looks else sent(request), person=request.user, site=request.site, hoods=hoods, page=page, today=today,
        before=before, places=inventory.rooms_by_number(shown),
        sets=judged_by(Hood.objects.filter(pk__in=[hood.pk for hood in shown]), today).names,
        initial={"from_on": today, "set": request.GET.get("set", "")} | (forms.written(request.POST) if looks else {}),
    )  # fmt: skip
    if assigned := kept(request, form, actions.assign_criteria):
        _warn_of_seldom(request, form.cleaned_data)
        said = ngettext(
            "%(number)d hood is judged by %(set)s from then on.", "%(number)d hoods are judged by %(set)s from then on.",
            len(assigned),
        )  # fmt: skip
        return done(
            request, said % {"number": len(assigned), "set": form.cleaned_data["set"].name}, "surveys:criteria_list"
        )
    return form_page(
        request, form, template="surveys/criteria/assign.html", title=_("Criteria"), where=request.site.name,
        answer=_("Say which criteria judge which hoods."),
        after=_("Earlier surveys keep the criteria that judged them. One set can judge many hoods."),
        button=_("Assign the criteria"), back=reverse("surveys:criteria_list"), listed=listed, kinds=hood_words.KINDS,
        page=page,
    )  # fmt: skip


def _warn_of_seldom(request: HttpRequest, chosen: dict[str, Any]) -> None:
    """Radioisotope hoods that the version asks for later than half-yearly, told in one sentence."""
    version = chosen["set"].in_force(chosen["from_on"])
    tags = [hood.tag for hood in chosen["hoods"] if asks_too_seldom(hood.kind, version.document["due"])]
    if not tags:
        return
    more = [f"+ {len(tags) - NAMED}"] if len(tags) > NAMED else []
    said = ngettext(
        "%(hoods)s is a radioisotope hood, usually surveyed again after 6 months: this set asks for it later.",
        "%(hoods)s are radioisotope hoods, usually surveyed again after 6 months: this set asks for them later.",
        len(tags),
    ) % {"hoods": ", ".join([*tags[:NAMED], *more])}  # fmt: skip
    why = _("The reason written for it: %(why)s") % {"why": version.seldom} if version.seldom else ""
    messages.warning(request, f"{said} {why or _('No reason is written for it.')}")


def _ticked(hoods: QuerySet[Hood], sent_: list[str], page: Page) -> list[Hood]:
    """The hoods that were ticked and do not stand on the page that is shown."""
    shown = {hood.pk for hood in page}
    return [hood for hood in hoods.filter(pk__in=[int(pk) for pk in sent_ if _is_number(pk)]) if hood.pk not in shown]


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) < 10
