from django.apps import AppConfig


class SurveysConfig(AppConfig):
    name = "surveys"
    default_auto_field = "django.db.models.BigAutoField"
