"""The ledger as a picture: days of each patient with the episodes of the figure on them."""

from __future__ import annotations

from datetime import date

from reports.charts.chart import Chart
from reports.charts.ledger_picture import Onset, ledger_picture
from reports.recount.ledger import PatientDays, span
from reports.recount.lists import CaseLine

# An outside reader has the month alone: the mark stands in its middle.
_MIDDLE_OF_MONTH = 15


def _onset_day(line: CaseLine) -> date:
    if "onset_on" in line.case:
        return date.fromisoformat(line.case["onset_on"])
    return date.fromisoformat(f"{line.case['onset_month']}-{_MIDDLE_OF_MONTH}")


def ledger_chart(period: str, lines: list[PatientDays], cases: list[CaseLine], page: int) -> Chart:
    """One page of it: at most 64 patients."""
    onsets = [Onset(one.patient, _onset_day(one), one.mark, one.so) for one in cases]
    first, stop = span(period)
    return ledger_picture(lines, onsets, first, stop, page)
