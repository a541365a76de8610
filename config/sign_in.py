"""Signing in: by e-mail and password; nobody signs up."""

from allauth.account.adapter import DefaultAccountAdapter


class Adapter(DefaultAccountAdapter):
    def is_open_for_signup(self, request) -> bool:
        return False
