"""Criteria: read sets and their versions, start, settle, adopt, and assign them to hoods."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.html import format_html
from django.utils.translation import gettext as _

from hoods.models import Entry, Hood
from hoods.views.page import done, form_page, kept, sent
from surveys import wording
from surveys.actions import criteria as actions
from surveys.assigned import judged_by
from surveys.core.adoption import why_not_adopt
from surveys.core.criteria import Criteria
from surveys.core.messages import Problem
from surveys.core.starters import STARTERS
from surveys.forms import criteria as forms
from surveys.forms.criteria_document import to_boxes, to_document
from surveys.models import CriteriaSet, CriteriaVersion


def criteria_list(request: HttpRequest) -> HttpResponse:
    today = request.site.today()
    sets = CriteriaSet.objects.visible_to(request.user).prefetch_related("versions")
    judged = judged_by(Hood.objects.visible_to(request.user), today)
    return render(request, "surveys/criteria/list.html", {
        "lines": [(one, in_force(one, today), coming(one, today), draft_of(one), judged.hoods(one)) for one in sets],
        "without": judged.without,
        "starters": STARTERS.values(),
    })  # fmt: skip


def in_force(one: CriteriaSet, on: Any) -> CriteriaVersion | None:
    """As `CriteriaSet.in_force`, from versions that are loaded."""
    come = [version for version in one.versions.all() if version.adopted_at and version.first_day <= on]
    return max(come, key=lambda version: (version.first_day, version.number), default=None)


def coming(one: CriteriaSet, on: date) -> list[CriteriaVersion]:
    """Adopted versions whose first day is to come, by that day: each takes the place of what is in force until then."""
    to_come = [version for version in one.versions.all() if version.adopted_at and version.first_day > on]
    return sorted(to_come, key=lambda version: (version.first_day, version.number))


def draft_of(one: CriteriaSet) -> CriteriaVersion | None:
    return next((version for version in one.versions.all() if version.adopted_at is None), None)


def set_of(request: HttpRequest, pk: int) -> CriteriaSet:
    return get_object_or_404(CriteriaSet.objects.visible_to(request.user), pk=pk)


def version_of(request: HttpRequest, pk: int) -> CriteriaVersion:
    visible = CriteriaVersion.objects.visible_to(request.user).select_related("set__site", "adopted_by")
    return get_object_or_404(visible, pk=pk)


def criteria_set(request: HttpRequest, pk: int) -> HttpResponse:
    one = set_of(request, pk)
    return render(request, "surveys/criteria/set.html", {
        "set": one,
        "now": one.in_force(request.site.today()),
        "draft": draft_of(one),
        "versions": one.versions.select_related("adopted_by").order_by("-number"),
        "entries": Entry.objects.of(one)[:50],
    })  # fmt: skip


def criteria_version(request: HttpRequest, pk: int) -> HttpResponse:
    version = version_of(request, pk)
    criteria = Criteria.from_dict(version.document)
    draft = version.adopted_at is None
    return render(request, "surveys/criteria/version.html", {
        "version": version,
        "criteria": criteria,
        "document": version.document,
        "draft": draft,
        "in_force": version == version.set.in_force(request.site.today()),
        "problems": [
            (said(problem, criteria), box_of(problem, version)) for problem in (why_not_adopt(criteria) if draft else ())
        ],
    })  # fmt: skip


def said(problem: Problem, criteria: Criteria) -> str:
    """What stands in the way of adoption, with the limit or check that it is about."""
    sentence = wording.sentence(problem.message)
    part, _dot, rest = problem.path.partition(".")
    number = rest.partition(".")[0]
    if part == "limits" and number.isdigit():
        return _("Limit %(number)d: %(said)s") % {"number": int(number) + 1, "said": sentence}
    return sentence


def starter(request: HttpRequest, code: str) -> HttpResponse:
    """A set to start from, read whole; starting makes a draft of it."""
    found = STARTERS.get(code)
    if found is None:
        raise Http404
    form = forms.StartedSet(sent(request), initial={"name": _(found.name), "words": _(found.words)})
    if version := kept(request, form, partial(actions.start_set, site=request.site, starter=code)):
        said_ = _("The draft is made. Compare it with your local rules, decide on the checks, then adopt it.")
        return done(request, said_, "surveys:criteria_version", version.pk)
    return form_page(
        request, form, template="surveys/criteria/starter.html", title=_("Criteria to start from"), where="",
        answer=_(found.name), after=_(found.words), button=_("Make a draft from this set"),
        back=reverse("surveys:criteria_list"), starter=found, criteria=Criteria.from_dict(found.document),
        document=found.document,
    )  # fmt: skip


def start_empty_set(request: HttpRequest) -> HttpResponse:
    """A set that begins with nothing: every limit and check is written by hand."""
    form = forms.StartedSet(sent(request))
    if version := kept(request, form, partial(actions.start_set, site=request.site)):
        return done(request, _("The draft is made: write its limits and checks."), "surveys:change_draft", version.pk)
    return form_page(
        request, form, title=_("Criteria"), where=request.site.name, answer=_("Start a set from nothing."),
        after=_("It begins without a limit and without a check. Nothing is judged by it before it is adopted."),
        button=_("Make an empty draft"), back=reverse("surveys:criteria_list"),
    )  # fmt: skip


def start_version(request: HttpRequest, pk: int) -> HttpResponse:
    one = set_of(request, pk)
    form = forms.NewVersion(sent(request))
    if version := kept(request, form, partial(actions.start_version, set=one)):
        return done(request, _("The draft is made."), "surveys:criteria_version", version.pk)
    return form_page(
        request, form, title=_("Criteria"), where=one.name, answer=_("Start the next version of this set."),
        after=_("The version in force stays in force until the new one is adopted and its first day has come."),
        button=_("Start a draft"), back=reverse("surveys:criteria_set", args=[pk]),
    )  # fmt: skip


def settle_checks(request: HttpRequest, pk: int) -> HttpResponse:
    version = version_of(request, pk)
    if version.adopted_at is not None:
        return adopted(request, version)
    form = forms.SettledChecks(sent(request), checks=actions.asked_or_offered(version))
    if kept(request, form, partial(actions.settle_checks, version=version)):
        return done(request, _("What each check costs is kept in the draft."), "surveys:criteria_version", pk)
    return form_page(
        request, form, title=_("Criteria"), where=str(version),
        answer=_("Decide what each check costs when it is not as it should be."),
        after=_("Your safety office and your local rules decide. A check that is not asked is not shown to the surveyor."),
        button=_("Keep these decisions"), back=reverse("surveys:criteria_version", args=[pk]),
    )  # fmt: skip


def adopted(request: HttpRequest, version: CriteriaVersion) -> HttpResponse:
    messages.error(request, str(actions.Adopted()))
    return redirect("surveys:criteria_version", version.pk)


def adopt_version(request: HttpRequest, pk: int) -> HttpResponse:
    version = version_of(request, pk)
    if version.adopted_at is not None:
        return adopted(request, version)
    if request.method != "POST" and why_not_adopt(Criteria.from_dict(version.document)):
        messages.error(request, _("This draft cannot be adopted yet: see what stands in the way."))
        return redirect("surveys:criteria_version", pk)
    form = forms.Adoption(
        sent(request), person=request.user, today=request.site.today(),
        late=bool(actions.surveyed_late(version, request.site.today())),
        initial={"first_day": request.site.today(), "seen": actions.content_hash(version)},
    )  # fmt: skip
    if kept(request, form, partial(adopt, version=version, form=form)):
        said_ = _("%(version)s is adopted, word for word, as a record.") % {"version": version}
        return done(request, said_, "surveys:criteria_version", pk)
    return form_page(
        request, form, template="surveys/criteria/adopt.html", title=_("Criteria"), where=str(version),
        answer=_("Adopt this version: from its first day on, surveys are judged by it."),
        after=_("An adopted version never changes; another version can take its place."), button=_("Sign and adopt"),
        back=reverse("surveys:criteria_version", args=[pk]), version=version,
        coming=coming(version.set, request.site.today()),
    )  # fmt: skip


def adopt(*, version: CriteriaVersion, form: forms.Adoption, why: str, **signed: Any) -> CriteriaVersion | None:
    """Adopts, or puts each reason why not into the form."""
    what = {name: signed[name] for name in ("first_day", "seen", "seldom", "by", "at") if name in signed}
    try:
        return actions.adopt_version(version=version, reason=why, **what)
    except actions.NotAdoptable as refusal:
        criteria = Criteria.from_dict(version.document)
        for problem in refusal.problems:
            form.add_error(None, format_html('<a href="{}">{}</a>', box_of(problem, version), said(problem, criteria)))
        return None


def box_of(problem: Problem, version: CriteriaVersion) -> str:
    """The address of the box in which a problem of a draft is put right."""
    box = to_document(to_boxes(version.document), version.document).box(problem)
    return f"{reverse('surveys:change_draft', args=[version.pk])}#{f'id_{box}' if '-' in box else 'h-limits'}"
