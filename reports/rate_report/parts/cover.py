"""Part 1, cover: what this report is, of whom, as known when, by which rules, in which state."""

from __future__ import annotations

from reports.rate_report.material import NOT_SIGNED, Material, state_text
from reports.rate_report.names import RULE_SETS
from reports.rate_report.part import Part, Table, rows_of, text
from reports.rate_report.period_text import period_text
from surveillance.words import day_text

FIELDS = (
    text("item", "what is said", "Item", 2),
    text("value", "its value", "", 5),
    text("shown", "the value as people read it", "Says", 5),
)
_ITEMS = {
    "clinic": "Clinic", "period": "Period", "periods_held": "Periods held", "state": "State",
    "as_of": "Data", "frozen_at": "Inputs frozen", "data_version": "State of the record",
    "rule_set": "Rules", "report_id": "Report", "software_version": "Software",
    "made_for": "Made for",
}  # fmt: skip
_MADE_FOR = {
    True: "a reader outside the clinic: no lists of patients, small counts hidden",
    False: "one recipient: patients under pseudonyms made for that recipient alone",
}


def frozen_moment(m: Material) -> str:
    """When the inputs were frozen; a draft is not: it is made anew of the same record."""
    moment = m.snapshot.prepared_at
    return moment.astimezone(m.snapshot.clinic.zone).isoformat(timespec="seconds") if moment else ""


def part(m: Material) -> Part:
    snapshot = m.snapshot
    version = f"version {snapshot.version}" if snapshot.version else "no version yet"
    frozen = frozen_moment(m)
    items = [
        ("clinic", snapshot.clinic.code, f"{snapshot.clinic.name} ({snapshot.clinic.code})"),
        ("period", m.period, period_text(m.period)),
        ("periods_held", " ".join(m.held), "; ".join(map(period_text, m.held))),
        ("state", state_text(snapshot), f"{state_text(snapshot)}, {version}"),
        ("version", str(snapshot.version or ""), version),
        ("as_of", snapshot.as_of.isoformat(), f"data known on {day_text(snapshot.as_of)}"),
        ("frozen_at", frozen, frozen or "not frozen: a draft"),
        ("data_version", str(snapshot.data_version), f"audit event {snapshot.data_version}"),
        ("rule_set", snapshot.rule_set, RULE_SETS.get(snapshot.rule_set, snapshot.rule_set)),
        ("report_id", snapshot.digest[:16], f"{snapshot.digest[:16]}, from the tables' digest"),
        ("software_version", snapshot.software_version, snapshot.software_version),
        ("made_for", "outside" if m.to.is_outside else "recipient", _MADE_FOR[m.to.is_outside]),
    ]
    rows = rows_of(items, FIELDS)
    shown = [row | {"item": _ITEMS[row["item"]]} for row in rows if row["item"] != "version"]
    table = Table("cover", "Cover", FIELDS, rows, shown=shown)
    return Part(1, "cover", "What this is", _says(m), (table,))


def title(m: Material) -> str:
    return f"{m.snapshot.clinic.name}, {period_text(m.period)}: infections of home PD"


def _says(m: Material) -> tuple[str, ...]:
    first = (
        "For surveillance. It counts and explains; it does not diagnose, dose or close an "
        "episode. Local protocol and licensed practice decide on care."
    )
    unsigned = (
        "Draft, not signed: figures may change." if state_text(m.snapshot) == NOT_SIGNED else ""
    )
    return tuple(filter(None, (unsigned, first)))
