"""The stored result as a Django app."""

from django.apps import AppConfig


class SurveillanceConfig(AppConfig):
    name = "surveillance"
    default_auto_field = "django.db.models.BigAutoField"
