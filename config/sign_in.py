"""Signing in: by e-mail and password, counted; nobody signs up. What happens is noted in the log."""

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from hoods.models import Entry, Person


class Adapter(DefaultAccountAdapter):
    error_messages = DefaultAccountAdapter.error_messages | {
        "email_password_mismatch": _("Address and password do not belong together: check both, capitals too."),
        "too_many_login_attempts": _(
            "There were too many tries with a wrong password: wait five minutes, then sign in."
        ),
        "enter_current_password": _("This is not your password: type the one that you sign in with now."),
    }

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def is_safe_url(self, url: str | None) -> bool:
        """Whether somebody who signed in may be sent there: only to a page of this site, named without a host."""
        return url is not None and url.startswith("/") and url_has_allowed_host_and_scheme(url, allowed_hosts=None)

    def get_password_change_redirect_url(self, request: HttpRequest) -> str:
        return reverse("home")

    def respond_user_inactive(self, request: HttpRequest, user: Person) -> HttpResponse:
        messages.error(request, gettext("This person may no longer sign in. Ask your programme manager."))
        return redirect("account_login")

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """Send nothing: the site has no mail yet."""


def note_signed_in(sender: Any, request: HttpRequest, user: Person, **kwargs: Any) -> None:
    Entry.objects.add(by=user, at=timezone.now(), action="signed-in", what=user)


def note_signed_out(sender: Any, request: HttpRequest, user: Person | None, **kwargs: Any) -> None:
    if user is not None:
        Entry.objects.add(by=user, at=timezone.now(), action="signed-out", what=user)


def note_password_changed(sender: Any, request: HttpRequest, user: Person, **kwargs: Any) -> None:
    Entry.objects.add(by=user, at=timezone.now(), action="password-changed", what=user)
