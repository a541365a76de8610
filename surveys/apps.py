from django.apps import AppConfig


class SurveysConfig(AppConfig):
    name = "surveys"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from hoods.actions.ending import approvals_ended
        from hoods.actions.people import address_mended, person_invited
        from hoods.inventory_ends import approvals_asked
        from surveys.actions.notices import tell_at_new_address, tell_invited, tell_of_ended
        from surveys.losing import asked

        person_invited.connect(tell_invited)
        address_mended.connect(tell_at_new_address)
        approvals_ended.connect(tell_of_ended)
        approvals_asked.connect(asked)
