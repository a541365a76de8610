"""What every request passes: headers, the site it is about, who may do it."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

Answer = Callable[[HttpRequest], HttpResponse]


class SecurityHeaders:
    def __init__(self, answer: Answer):
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.answer(request)


class ChosenSite:
    def __init__(self, answer: Answer):
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.answer(request)


class Access:
    def __init__(self, answer: Answer):
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.answer(request)
