from django.apps import AppConfig


class HoodsConfig(AppConfig):
    name = "hoods"
    default_auto_field = "django.db.models.BigAutoField"
