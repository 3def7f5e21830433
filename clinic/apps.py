"""The record as a Django app."""

from django.apps import AppConfig


class ClinicConfig(AppConfig):
    name = "clinic"
    default_auto_field = "django.db.models.BigAutoField"
