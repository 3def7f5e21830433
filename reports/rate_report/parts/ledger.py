"""Part 4, denominator ledger: every patient's stretches of days; they sum to the headline."""

from __future__ import annotations

from reports.rate_report.counting import own_counts
from reports.rate_report.material import Material
from reports.rate_report.number_text import DAYS_PER_YEAR, whole_text
from reports.rate_report.part import Part, Table, number, text, whole
from reports.rate_report.parts.outside import NOT_FOR_OUTSIDE
from reports.rate_report.period_text import month_text, period_text
from reports.rate_report.pseudonyms import pseudonymised_ledger

Cells = dict[str, str]
_LEDGER_COLUMNS = ("clinic", "patient", "started_on", "last_day_on", "state", "days", "reason")

FIELDS = (
    text("period", "period that the stretch is cut to", "Period", 3),
    text("patient", "pseudonym", "Patient", 2),
    text("started_month", "month of the first day of the stretch", "From", 2),
    text("last_day_month", "month of its last day", "To", 2),
    text("state", "at_risk or off_risk", "State", 2),
    whole("days", "length of the stretch in days", "Days", 1),
    text("reason", "why off risk; empty at risk", "Why off risk", 2),
)
PATIENTS = (
    text("period", "period", "", 3),
    text("patient", "pseudonym; one row for each with a day at risk", "", 2),
    whole("days_at_risk", "sum of the ledger's days at risk"),
    whole("counted_episodes", "counted peritonitis with onset in the period"),
    whole("episodes_at_risk", "confirmed peritonitis at risk, relapses too: ends freedom"),
    number("own_rate", "counted_episodes × 365.25 / days_at_risk"),
)
_STATES = {"at_risk": "at risk", "off_risk": "off risk"}


def part(m: Material) -> Part:
    if m.to.is_outside:
        return Part(4, "ledger", "Denominator ledger", NOT_FOR_OUTSIDE)
    rows = [row for period in m.held for row in _rows(m, period)]
    says = tuple(_sum_text(period, rows) for period in m.held)
    ledger = Table(
        "ledger", "Days of each patient", FIELDS, rows, shown=[_shown(row) for row in rows]
    )
    patients = Table("patients", "Each patient's days and episodes", PATIENTS, _patients(m, rows))
    return Part(4, "ledger", "Denominator ledger", says, (ledger, patients))


def _rows(m: Material, period: str) -> list[Cells]:
    found = m.lists("ledger", period)
    _, hidden = pseudonymised_ledger(_LEDGER_COLUMNS, found, m.to.key)
    return [{one.name: row.get(one.name, period) for one in FIELDS} for row in hidden]


def _sum_text(period: str, rows: list[Cells]) -> str:
    days = sum(
        int(row["days"]) for row in rows if row["period"] == period and row["state"] == "at_risk"
    )
    return f"{period_text(period)}: the stretches at risk sum to {whole_text(days)} patient-days."


def _shown(row: Cells) -> Cells:
    return row | {
        "period": period_text(row["period"]),
        "started_month": month_text(row["started_month"]),
        "last_day_month": month_text(row["last_day_month"]),
        "state": _STATES[row["state"]],
        "reason": row["reason"].replace("_", " "),
    }


def _patients(m: Material, ledger: list[Cells]) -> list[Cells]:
    from reports.rate_report.parts.line_list import lines_of

    lines = lines_of(m)
    return [
        _patient(period, patient, own)
        for period in m.held
        for patient, own in own_counts(_of(ledger, period), _of(lines, period)).items()
    ]


def _of(rows: list[Cells], period: str) -> list[Cells]:
    return [row for row in rows if row["period"] == period]


def _patient(period: str, patient: str, own: dict[str, int]) -> Cells:
    rate = own["counted_episodes"] * DAYS_PER_YEAR / own["days_at_risk"]
    counts = {name: str(count) for name, count in own.items()}
    return {"period": period, "patient": patient, **counts, "own_rate": repr(rate)}
