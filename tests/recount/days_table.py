"""The days table and the ledger, both from the same sets of days (design 3.2)."""

from datetime import date
from itertools import groupby

from tests.recount.clinics import ClinicCount, PatientCount
from tests.recount.days import each_day
from tests.recount.measures import days_by_band, days_in


def days_rows(clinic: ClinicCount) -> list[dict[str, object]]:
    """ "an undivided row for every period, for all but months a band row where the count is not
    0, sorted as measure rows"."""
    rows = []
    for period in sorted(clinic.periods, key=lambda p: (p.first, p.last)):
        in_place = sum(d in person.catheter_days for person in clinic.patients for d in period.days)
        whole = (period, "", "", len(days_in(clinic, period)), in_place)
        by_band = days_by_band(clinic, period) if period.has_bands else {}
        rows += [whole, *((period, *pair, count, "") for pair, count in by_band.items())]
    rows.sort(key=lambda row: (row[0].first, row[0].last, row[1], row[2], row[0].name))
    return [
        {
            "clinic": clinic.name,
            "period": period.name,
            "split": split,
            "band": band,
            "days_at_risk": count,
            "catheter_days": in_place,
        }
        for period, split, band, count, in_place in rows
    ]


def ledger_rows(clinic: ClinicCount) -> list[dict[str, object]]:
    """ "one row for each stretch of days at risk or off risk with the same reason"."""
    if not clinic.periods:
        return []
    days = list(each_day(min(p.first for p in clinic.periods), max(p.last for p in clinic.periods)))
    return [
        stretch_row(clinic.name, person, reason, list(stretch))
        for person in clinic.patients
        for reason, stretch in groupby(days, key=person.days.reason)
    ]


def stretch_row(
    clinic: str, person: PatientCount, reason: str, stretch: list[date]
) -> dict[str, object]:
    return {
        "clinic": clinic,
        "patient": person.patient.name,
        "started_on": stretch[0],
        "last_day_on": stretch[-1],
        "state": "off_risk" if reason else "at_risk",
        "days": len(stretch),
        "reason": reason,
    }
