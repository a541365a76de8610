"""What every request passes: headers, the site it is about, and whether its sender may."""

from collections.abc import Callable
from contextlib import suppress
from typing import Any

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed, JsonResponse
from django.utils import timezone, translation
from django.utils.translation import gettext

from config.access import ACCESS, ANY, PUBLIC

Answer = Callable[[HttpRequest], HttpResponse]

HEADERS = {
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "X-Permitted-Cross-Domain-Policies": "none",
    "Permissions-Policy": "camera=(), display-capture=(), geolocation=(), microphone=(), payment=(), usb=()",
    "Cache-Control": "private, no-cache",  # where a view or a static file has not said its own
}


class SecurityHeaders:
    """Every answer carries them: pages, files, prints, redirects, refusals and errors."""

    def __init__(self, answer: Answer):
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.answer(request)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        if settings.SECURE_HSTS_SECONDS and request.is_secure():
            response.headers.setdefault("Strict-Transport-Security", f"max-age={settings.SECURE_HSTS_SECONDS}")
        if request.method == "HEAD" and not response.streaming:
            response.headers.setdefault("Content-Length", str(len(response.content)))
            response.content = b""  # what is asked for is the headers; a server complains of a body behind them
        return response


class OwnLanguage:
    """Whoever has signed in reads every page in their own language, where the ledger speaks it."""

    def __init__(self, answer: Answer):
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.user.is_authenticated:
            # The language of the next request is set anew by LocaleMiddleware, which names this one in the headers.
            with suppress(LookupError):
                request.LANGUAGE_CODE = translation.get_supported_language_variant(request.user.language)
                translation.activate(request.LANGUAGE_CODE)
        return self.answer(request)


class ChosenSite:
    """Sets `request.site`, the one site that the person acts at, and its clock; `request.sites` are those to choose from.

    Somebody with roles at several sites sees and does only what their roles at the chosen one allow.
    """

    def __init__(self, answer: Answer):
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.sites, request.site = [], None
        if request.user.is_authenticated:
            request.sites = request.user.standing.places
            request.site = self.chosen(request)
        if request.site is None:
            return self.answer(request)
        request.user.act_at(request.site)
        with timezone.override(request.site.zone):
            return self.answer(request)

    def chosen(self, request: HttpRequest) -> Any:
        named = request.session.get("site")
        by_number = {site.pk: site for site in request.sites}
        return by_number.get(named) or next(iter(request.sites), None)


class Access:
    """Holds every request against `config.access`: deny unless the table allows."""

    def __init__(self, answer: Answer):
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.answer(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        row = ACCESS.get(request.resolver_match.view_name)
        if row is None:
            raise PermissionDenied
        roles = row.get("GET" if request.method == "HEAD" else request.method)
        if roles is None:
            return HttpResponseNotAllowed(sorted(row))
        if roles & PUBLIC:
            return None
        if not request.user.is_authenticated:
            return self.sign_in_first(request)
        if roles & ANY or roles & request.user.roles_at(request.site):
            return None
        raise PermissionDenied

    def sign_in_first(self, request: HttpRequest) -> HttpResponse:
        if request.accepts("text/html"):
            return redirect_to_login(request.get_full_path())
        return JsonResponse({"error": gettext("Sign in again: the entry is kept on this page.")}, status=401)
