"""Pages that no app owns: setting a password, choosing a site."""

from typing import Any

from allauth.account.views import LoginView, PasswordChangeView
from django.contrib import messages
from django.contrib.auth.views import INTERNAL_RESET_SESSION_TOKEN, PasswordResetConfirmView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext
from django.views.decorators.http import require_POST

from config.forms import ChosenPassword
from hoods.actions import passwords
from hoods.models import Person


class Refusing:
    """A form that answers what it refuses as refused: 422, and 429 where there were too many tries."""

    def form_invalid(self, form: Any) -> HttpResponse:
        response = super().form_invalid(form)  # type: ignore[misc]
        codes = {error.code for errors in form.errors.as_data().values() for error in errors}
        response.status_code = 429 if "too_many_login_attempts" in codes else 422
        return response


class SignIn(Refusing, LoginView):
    """By e-mail and password; wrong ones are counted."""


class ChangePassword(Refusing, PasswordChangeView):
    """A new password for whoever knows the old one."""


class SetPassword(Refusing, PasswordResetConfirmView):
    """The page behind a one-time link: its holder chooses a password and signs in with it."""

    template_name = "account/set_password.html"
    form_class = ChosenPassword

    def render_to_response(self, context: dict[str, Any], **kwargs: Any) -> HttpResponse:
        response = super().render_to_response(context, **kwargs)
        if not context["validlink"]:
            response.status_code = 410  # used, run out, or never made
        return response

    def get_user(self, uidb64: str) -> Person | None:
        person = super().get_user(uidb64)
        return person if person and person.is_active else None

    def form_valid(self, form: Any) -> HttpResponse:
        person = self.user
        passwords.set_password(person=person, password=form.cleaned_data["new_password1"], by=person, at=timezone.now())
        del self.request.session[INTERNAL_RESET_SESSION_TOKEN]
        messages.success(self.request, gettext("The password is set. Sign in with it."))
        return redirect("account_login")


@require_POST
def choose_site(request: HttpRequest) -> HttpResponse:
    """Act at another of the sites where the person has a role."""
    chosen = request.POST.get("site", "")
    if chosen in {str(site.pk) for site in request.sites}:
        request.session["site"] = int(chosen)
    return redirect("home")
