"""The record as a Django app."""

from django.apps import AppConfig


class ClinicConfig(AppConfig):
    name = "clinic"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from django.contrib.auth.signals import user_logged_in

        from clinic.actions.sessions import begin_session

        user_logged_in.connect(begin_session, dispatch_uid="begin_session")
