"""The output as a Django app: it keeps nothing but pictures, which can be drawn again."""

from typing import Any

from django.apps import AppConfig


class ReportsConfig(AppConfig):
    name = "reports"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from surveillance.snapshots.announce import snapshot_computed

        snapshot_computed.connect(_draw, dispatch_uid="draw_quarter")


def _draw(snapshot: Any, **more: Any) -> None:
    from reports.dashboard.drawn import draw_latest

    draw_latest(snapshot)
