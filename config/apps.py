from django.apps import AppConfig


class House(AppConfig):
    """The project's own app: start checks, seals on permanent rows, who may do what."""

    name = "config"
