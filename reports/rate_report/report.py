"""The rate report: its thirteen parts, made once, for every shape to be written from."""

from __future__ import annotations

from reports.rate_report.material import Material, state_text
from reports.rate_report.part import Part, Report
from reports.rate_report.parts import (
    changes,
    completeness,
    cover,
    definitions_in_force,
    exclusions,
    headline,
    ledger,
    limits,
    line_list,
    methods,
    recompute,
    restatements,
    sign_off,
)
from reports.rate_report.parts.all_figures import with_data
from reports.rate_report.tables import Recipient
from surveillance.models import Snapshot

_PARTS = (
    cover, headline, definitions_in_force, ledger, line_list, exclusions, completeness, changes,
    restatements, methods, limits, sign_off, recompute,
)  # fmt: skip


def rate_report(snapshot: Snapshot, period: str, to: Recipient) -> Report:
    """The content; the same snapshot and recipient give the same content, whatever the clock."""
    m = Material(snapshot, period, to)
    parts = tuple(_made(m, one.part(m)) for one in _PARTS)
    return Report(_head(m), parts)


def _made(m: Material, part: Part) -> Part:
    return with_data(m, part) if part.name == "headline" else part


def _head(m: Material) -> dict[str, str | int | None]:
    snapshot = m.snapshot
    return {
        "title": cover.title(m),
        "clinic": snapshot.clinic.code,
        "clinic_name": snapshot.clinic.name,
        "period": m.period,
        "state": state_text(snapshot),
        "version": snapshot.version,
        "report_id": snapshot.digest[:16],
        "snapshot_digest": snapshot.digest,
        "rule_set": snapshot.rule_set,
        "as_of": snapshot.as_of.isoformat(),
        "data_version": snapshot.data_version,
        "software_version": snapshot.software_version,
        "frozen_at": cover.frozen_moment(m) or None,
        "made_for": "outside" if m.to.is_outside else "recipient",
        "patients": "pseudonyms of this recipient; onset by month and by day of PD",
        "divided_by_trainer": "yes" if m.to.sees_trainers else "no",
    }
