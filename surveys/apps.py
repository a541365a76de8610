from django.apps import AppConfig


class SurveysConfig(AppConfig):
    name = "surveys"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from hoods.actions.people import person_invited
        from surveys.actions.notices import tell_invited

        person_invited.connect(tell_invited)
