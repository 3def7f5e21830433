"""Whether this database is the demonstration's: its first event says so."""

from clinic.models import AuditEvent

# The event with which a demonstration begins.
MARK = {"clinic": None, "verb": "begin", "thing": "demonstration"}


def is_demo_database() -> bool:
    return AuditEvent.objects.filter(
        chain__clinic=None, verb=MARK["verb"], thing=MARK["thing"]
    ).exists()
