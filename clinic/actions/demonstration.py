"""Whether this database is the demonstration's: its first event says so."""

from django.conf import settings

from clinic.models import AuditEvent

# The event with which a demonstration begins.
MARK = {"clinic": None, "verb": "begin", "thing": "demonstration"}


def is_demo_database() -> bool:
    return AuditEvent.objects.filter(
        chain__clinic=None, verb=MARK["verb"], thing=MARK["thing"]
    ).exists()


def in_demonstration() -> bool:
    """The setting alone does not make a real record a demonstration."""
    return settings.DEMO and is_demo_database()
