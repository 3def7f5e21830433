"""Part 12, sign-off: who prepared and who signed, by role, and the digests of what was frozen."""

from __future__ import annotations

from datetime import datetime

from reports.rate_report.material import NOT_SIGNED, Material, state_text
from reports.rate_report.part import Part, Table, rows_of, text, whole

STEPS = (
    text("step", "prepared or signed", "Step", 2),
    text("by_role", "role of the person; names stay in the clinic", "By", 3),
    text("at", "moment, in the clinic's zone", "At", 3),
    text("digest", "SHA-256 over all stored tables", "Digest of the figures", 8),
)
STORED = (
    text("table", "stored table", "Table", 2),
    text("period", "period; empty = the whole range", "Period", 2),
    whole("rows", "rows", "Rows", 1),
    text("sha256", "SHA-256 of its canonical bytes, as stored", "SHA-256", 8),
)


def part(m: Material) -> Part:
    snapshot = m.snapshot
    steps = [
        (step, role, _at(m, moment), snapshot.digest)
        for step, role, moment in (
            ("prepared", "a person of the clinic who may prepare", snapshot.prepared_at),
            ("signed", "another person, a director", snapshot.signed_at),
        )
        if moment
    ]
    says = [f"Digest of all stored tables, SHA-256: {snapshot.digest}."]
    if state_text(snapshot) == NOT_SIGNED:
        says.insert(0, "Not signed.")
    says.append("The digests of the files stand in the bag's own manifest.")
    tables = (
        Table("sign_off", "Prepared by one, signed by another", STEPS, rows_of(steps, STEPS)),
        Table("stored_tables", "What was frozen", STORED, rows_of(_stored(m), STORED)),
    )
    return Part(12, "sign_off", "Sign-off", tuple(says), tables)


def _at(m: Material, moment: datetime) -> str:
    return moment.astimezone(m.snapshot.clinic.zone).isoformat(timespec="seconds")


def _stored(m: Material) -> list[tuple[str, ...]]:
    """The tables of the periods that the report holds."""
    rows = m.snapshot.tables.filter(period__in=m.held).order_by("table", "period")
    found = [(one.table, one.period, str(one.rows), one.sha256) for one in rows]
    return sorted(found)
