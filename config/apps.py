from django.apps import AppConfig, apps
from django.db.models.signals import post_migrate, pre_migrate


class House(AppConfig):
    """The project's own app: start checks, seals on permanent rows, who may do what."""

    name = "config"

    def ready(self) -> None:
        from allauth.account.signals import password_changed
        from django.contrib.auth.signals import user_logged_in, user_logged_out

        from config import checks, sealing, sign_in

        checks.register()
        # Both signals go out once for each app that has models; once is enough.
        once = apps.get_app_config("hoods")
        pre_migrate.connect(sealing.before_migration, sender=once, dispatch_uid="seals-lifted")
        post_migrate.connect(sealing.after_migration, sender=once, dispatch_uid="seals-made")
        user_logged_in.connect(sign_in.note_signed_in, dispatch_uid="signed-in")
        user_logged_out.connect(sign_in.note_signed_out, dispatch_uid="signed-out")
        password_changed.connect(sign_in.note_password_changed, dispatch_uid="password-changed")
