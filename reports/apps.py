"""The output as a Django app; it stores nothing."""

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    name = "reports"
