"""The stored rows behind a section, as a CSV with the columns of the measure table."""

from __future__ import annotations

from django.http import Http404, HttpRequest

from clinic.roles import period_open
from reports.dashboard.choose import FROZEN
from reports.rate_report.files import ReportFile, measure_rows_file
from reports.rate_report.period_text import is_quarter, rolling_year
from reports.rate_report.sections import CLOCKS, RATE
from reports.rate_report.sentences import year_before
from reports.rate_report.tables import Cells, Recipient
from reports.readers import recipient_of
from surveillance.models import Snapshot
from surveillance.snapshots import periods

ANSWERS = (
    RATE, "peritonitis_free_share", "exit_site_infection_rate", "culture_negative_share",
    "not_cultured_share",
)  # fmt: skip


def _wanted_periods(snapshot: Snapshot, quarter: str, section: str) -> list[str]:
    year = rolling_year(quarter)
    if section == "rate":
        ended = [one for one in periods(snapshot) if one.removesuffix("/4q") <= quarter]
        return [one for one in ended if is_quarter(one) or one.endswith("/4q")]
    return [year] if section == "training" else [year_before(year), year]


def _is_wanted(section: str, row: Cells) -> bool:
    measure, split = row["measure"], row["split"]
    if section == "answers":
        return measure in ANSWERS and not split
    if measure != RATE:
        return False
    return {"rate": not split, "training": split in CLOCKS, "organisms": split == "organism_group"}[
        section
    ]


SECTIONS = ("answers", "rate", "training", "organisms")


def numbers_file(
    request: HttpRequest, snapshot: Snapshot, quarter: str, section: str
) -> ReportFile:
    """Only periods that this person may read; an auditor's older years are left out."""
    if section not in SECTIONS:
        raise Http404
    stored = periods(snapshot)
    wanted = [
        one for one in _wanted_periods(snapshot, quarter, section)
        if one in stored and period_open(request.user, FROZEN, snapshot, one)
    ]  # fmt: skip
    to: Recipient = recipient_of(request.user, snapshot)
    return measure_rows_file(
        snapshot, section, quarter, wanted, to, lambda row: _is_wanted(section, row)
    )
