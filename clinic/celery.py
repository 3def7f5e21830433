"""The Celery app: the same code on files below DATA_DIR and on Redis."""

import os

from celery import Celery
from celery.schedules import crontab

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clinic.settings")

from django.conf import settings  # noqa: E402  the settings need the line above

app = Celery("pd_infection_surveillance")

_FILES = {
    "data_folder_in": str(settings.QUEUE_DIR / "messages"),
    "data_folder_out": str(settings.QUEUE_DIR / "messages"),
    "processed_folder": str(settings.QUEUE_DIR / "processed"),
    # Off, taken messages pass through the system's temporary folder, which may be another disk.
    "store_processed": True,
    "control_folder": str(settings.QUEUE_DIR / "control"),
    "polling_interval": 0.1,
}
# Redis sends a message again when its worker falls silent longer than the longest task.
# A Redis that is away keeps a page waiting two seconds at most: the sweep sends what was not sent.
_REDIS = {
    "visibility_timeout": 3600,
    "unacked_restore_throttle": 1,
    "socket_connect_timeout": 2,
    "max_retries": 1,
    "interval_start": 0.1,
}

_EMBEDDED = settings.BROKER_URL.startswith("filesystem")
if _EMBEDDED:
    for folder in ("messages", "processed", "control"):
        (settings.QUEUE_DIR / folder).mkdir(parents=True, exist_ok=True)

app.conf.update(
    broker_url=settings.BROKER_URL,
    broker_transport_options=_FILES if _EMBEDDED else _REDIS,
    broker_connection_retry_on_startup=True,
    task_acks_late=True,
    task_reject_on_worker_lost=True,
    worker_prefetch_multiplier=1,
    task_ignore_result=True,
    timezone="UTC",
    beat_schedule_filename=str(settings.DATA_DIR / "beat_schedule"),
    # Named by string: the record knows nothing of the packages above it.
    beat_schedule={
        "sweep": {
            "task": "surveillance.tasks.sweep",
            "schedule": 30.0,
            "options": {"expires": 25},
        },
        "nightly": {
            "task": "surveillance.tasks.nightly",
            "schedule": crontab(minute=20),  # every hour: midnight passes zone by zone
            "options": {"expires": 3000},
        },
    },
)
app.autodiscover_tasks(["surveillance"])
