"""Who took which file and who read whose lines: stored before anything is sent.

The house's chain takes these events: in the clinic's own they would look like changes of the
record and make every stored result stale.
"""

from __future__ import annotations

from collections.abc import Iterable

from clinic.actions.audit import Actor, write_event
from clinic.models import Patient, Person
from reports.rate_report.files import ReportFile
from surveillance.models import Snapshot


def log_download(
    snapshot: Snapshot, *, by: Actor | Person, file: ReportFile, how: str, source: str = ""
) -> None:
    """`how` is pseudonyms, plain or identified; `source` the address that asked."""
    write_event(
        clinic=None, by=by, verb="download", thing="snapshot", thing_uid=snapshot.uid,
        changes={
            "clinic": str(snapshot.clinic.uid), "file": file.name, "sha256": file.sha256,
            "rows": file.rows, "bytes": len(file.content), "how": how, "source": source,
        },
    )  # fmt: skip


def log_read(
    snapshot: Snapshot, *, by: Person, page: str, numbers: Iterable[str], source: str = ""
) -> None:
    """A page with record numbers: the random ids of all patients on it."""
    named = Patient.objects.filter(clinic=snapshot.clinic, number__in=set(numbers))
    write_event(
        clinic=None, by=by, verb="read", thing="snapshot", thing_uid=snapshot.uid,
        changes={
            "clinic": str(snapshot.clinic.uid), "page": page, "source": source,
            "patients": sorted(str(uid) for uid in named.values_list("uid", flat=True)),
        },
    )  # fmt: skip
