"""Who took which file: one event in the house's chain before the file is sent."""

from __future__ import annotations

from clinic.actions.audit import Actor, write_event
from clinic.models import Person
from reports.rate_report.files import ReportFile
from surveillance.models import Snapshot


def log_download(
    snapshot: Snapshot, *, by: Actor | Person, file: ReportFile, how: str, source: str = ""
) -> None:
    """`how` is pseudonyms, plain or identified; `source` the address that asked.

    The house's chain takes it: in the clinic's own it would look like a change of the record
    and make every stored result stale.
    """
    write_event(
        clinic=None, by=by, verb="download", thing="snapshot", thing_uid=snapshot.uid,
        changes={
            "clinic": str(snapshot.clinic.uid), "file": file.name, "sha256": file.sha256,
            "rows": file.rows, "bytes": len(file.content), "how": how, "source": source,
        },
    )  # fmt: skip
