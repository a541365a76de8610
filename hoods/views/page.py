"""How a keeping page answers: a form, one action, and a sentence on what was done."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from hoods.actions import Refused
from hoods.forms.plain import Plain


def sent(request: HttpRequest) -> Mapping[str, Any] | None:
    """What a form is bound to: what was sent, or nothing where the page is only looked at."""
    return request.POST if request.method == "POST" else None


def kept(request: HttpRequest, form: Plain, act: Callable[..., Any], **more: Any) -> Any:
    """What the action made of a valid form; None where the form is new, or where form or action refuse."""
    if not form.is_bound or not form.is_valid():
        return None
    try:
        return act(**form.cleaned_data, **more, by=request.user, at=timezone.now())
    except Refused as refusal:
        form.refuse(refusal)
        return None


def done(request: HttpRequest, said: str, to: Any, *args: Any) -> HttpResponse:
    messages.success(request, said)
    return redirect(to, *args)


def form_page(request: HttpRequest, form: Plain, *, template: str = "hoods/form.html", **words: Any) -> HttpResponse:
    """A page with one form. `words`: title, answer, button, back (an address), and where it helps: where, after, danger."""
    return render(request, template, {"form": form, **words}, status=422 if form.is_bound and form.errors else 200)
