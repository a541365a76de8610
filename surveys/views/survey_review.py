"""The review before signing: everything that was entered, what is missing, how it is judged; and the signature."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from functools import cached_property

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from hoods.actions.refusal import Refused
from hoods.models.people import TECHNICIAN
from surveys import forms
from surveys.actions.signing import NotReady, Seen, SignedUnseen, sign_survey, why_not_sign
from surveys.core.codes import REASONS_THAT_STOP_A_HOOD
from surveys.core.units import both
from surveys.forms.survey_document import box_of
from surveys.models import Draft
from surveys.views.survey import draft_of, page_of
from surveys.views.survey_boxes import target_of
from surveys.views.survey_entered import Entered
from surveys.views.survey_names import name_of
from surveys.views.survey_page import TONES, Page
from surveys.views.survey_result import Result
from surveys.wording import restriction, sentence, title


@dataclass
class Review:
    """What the review page shows beside what was entered."""

    page: Page
    form: forms.Signature | None

    @property
    def result(self) -> Result | None:
        judging = self.page.judging
        if judging is None:
            return None
        document, facts = self.page.draft.version.document, judging.around.as_dict()
        facts["site"] = {"height_from": self.page.site.height_from}
        return Result(judging.judged.as_dict(), document, self.page.entered, facts)

    @cached_property
    def entered(self) -> Entered:
        instrument = self.page.around.instrument
        return Entered(self.page.entered, self.page.instrument_words(instrument) if instrument else "", sash=self.page.hood.sash)

    @property
    def title(self) -> str:
        judged = self.page.judging and self.page.judging.judged
        return title(judged.verdict, judged.restriction) if judged else _("No verdict: this survey cannot be judged")

    @property
    def tone(self) -> tuple[str, str]:
        judged = self.page.judging and self.page.judging.judged
        return TONES.get(judged.verdict if judged else "", ("idle", "not-yet-surveyed"))

    @property
    def restriction(self) -> str:
        return restriction(self.page.judging.judged.restriction) if self.page.judging else ""

    @property
    def stops_the_hood(self) -> bool:
        return self.page.document.ended_early in REASONS_THAT_STOP_A_HOOD

    @property
    def missing(self) -> list[dict[str, str]]:
        """What was not entered, to be confirmed; a survey that stopped the hood needs no more than its reason."""
        if self.stops_the_hood:
            return []
        made = []
        for step in self.page.steps:
            if not step.asks:
                continue
            made += [{"target": item.target, "words": f"{step.name}: {item.needed}"} for item in step.waiting]
            if step.id.startswith("part-traverse") and not step.items:
                made.append({"target": step.id, "words": _("%(step)s: not begun") % {"step": step.name}})
        return made

    @property
    def problems(self) -> list[dict[str, str]]:
        """What stops signing, each with the place where it is put right."""
        judging = self.page.judging
        if judging is None:
            return []
        found = []
        for problem in why_not_sign(judging.document, judging.around.facts, corrects=self.page.draft.corrects):
            box = box_of(problem.path, self.page.entered)
            found.append({"target": target_of(box), "place": name_of(box, self.page) if box else "", "words": sentence(problem.message)})
        return found

    @property
    def can_sign(self) -> bool:
        return self.form is not None and self.page.judging is not None and not self.problems

    @property
    def moved_to(self) -> str:
        """The lower height to which stop and mark are to be moved; empty where nothing asks for it."""
        judged = self.page.judging and self.page.judging.judged
        height = (judged.restriction or {}).get("largest_opening") if judged else None
        return both(height) if height else ""

    @property
    def taken_down(self) -> bool:
        """Whether an earlier 'do not use' is up that this survey may lift."""
        judged = self.page.judging and self.page.judging.judged
        return bool(judged and judged.verdict in ("pass", "restrict") and self.page.may_lift)


def review(request: HttpRequest, id: uuid.UUID) -> HttpResponse:
    draft = draft_of(request, id)
    if hasattr(draft, "survey"):
        return redirect("surveys:detail", draft.pk)
    return _shown(request, draft)


def _shown(
    request: HttpRequest, draft: Draft, form: forms.Signature | None = None, refused: str = "", status: int = 200
) -> HttpResponse:
    page = page_of(draft)
    if form is None and request.user.has_role(draft.hood.site, TECHNICIAN):
        seen = {"revision": page.made_from, "version": draft.version_id}
        form = forms.Signature(person=request.user, initial=seen, paper=draft.from_paper is not None)
    response = render(
        request, "surveys/survey/review.html", {"page": page, "review": Review(page, form), "refused": refused}, status=status
    )
    response.headers["Cache-Control"] = "private, no-store"
    return response


def sign(request: HttpRequest, id: uuid.UUID) -> HttpResponse:
    """Sign what was seen: judged and kept for ever, or refused in a sentence."""
    draft = draft_of(request, id)
    if hasattr(draft, "survey"):
        return redirect("surveys:detail", draft.pk)
    if request.method != "POST":  # read again after a refusal
        return redirect("surveys:review", draft.pk)
    missing = bool(Review(page_of(draft), None).missing)
    form = forms.Signature(request.POST, person=request.user, missing=missing, paper=draft.from_paper is not None)
    if not form.is_valid():
        return _shown(request, draft, form, _("Nothing is signed yet: see what is marked."), status=422)
    held = form.cleaned_data
    try:
        survey = sign_survey(
            draft=draft, seen=Seen(held["revision"], held["version"]), by=request.user, at=timezone.now(),
            stop_moved=held["stop_moved"], sign_taken_down=held["sign_taken_down"],
        )  # fmt: skip
    except SignedUnseen as refusal:
        return _shown(request, draft, refused=str(refusal), status=409)
    except Refused as refusal:
        said = [sentence(one.message) for one in refusal.problems] if isinstance(refusal, NotReady) else []
        return _shown(request, draft, refused=" ".join([str(refusal), *said]), status=422)
    messages.success(request, _("Signed and kept as record %(number)s.") % {"number": survey.record_id})
    return redirect("surveys:detail", draft.pk)

